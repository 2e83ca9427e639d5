"""How far the skin of a strand goes that no hollow opens: patches of it, looked at closer and closer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.places import Box, outside_all
from worker.measures.strand.skin import Skin, skin_of
from worker.strands.roots import Array
from worker.strands.strand import Strand

Flags = NDArray[np.bool_]

AROUND = 64
"""Patches around the skin at the first look."""
LOOKS, PARTS, HALVINGS = 4, 4, 4
"""Closer looks; parts of a patch each way at each of them; how often an edge across a hollow's rim is halved."""
MOST_FIRST, MOST = 128, 48
"""Patches that the first closer look takes, and every later one: those whose skin is known to reach furthest."""
ENOUGH = 1e-6
"""mm: skin that is found so near to the very end need not be looked at closer."""
CHUNK = 256
"""Places asked about at once, from the outermost inwards."""


@dataclass(frozen=True)
class _Look:
    """A skin seen along one axis, outwards, and what opens it."""

    skin: Skin
    axis: int
    outward: float
    hollows: Sequence[Strand]
    boxes: Mapping[str, Box]

    def reach(self, points: Array) -> Array:
        """How far outwards points (..., 3) lie, mm."""
        return np.asarray(self.outward * points[..., self.axis])

    def free(self, points: Array) -> Flags:
        """Whether they lie in no hollow."""
        return outside_all(points.reshape(-1, 3), self.hollows, self.boxes).reshape(points.shape[:-1])


@dataclass(frozen=True)
class _Patches:
    """Patches of a skin: where each begins along and around it, and how far it goes; (n,) each."""

    along: Array
    around: Array
    long: float
    wide: float


def outermost(
    strand: Strand, hollows: Sequence[Strand], boxes: Mapping[str, Box], axis: int, outward: float, end: float
) -> float | None:
    """Greatest of `outward` (1 or -1) times the place along `axis`, mm, of the skin that is left; None if none is.

    `end` is how far the strand goes before the hollows are taken out: nothing goes beyond.

    Patches whose corners all lie in hollows are left alone. Where a hollow's rim crosses an edge of a patch the
    crossing is found by halving, so that the patches along the rim are told apart by what is left of each.
    """
    look = _Look(skin_of(strand), axis, outward, hollows, boxes)
    patches, most = _first(look, end)
    for number in range(LOOKS):
        if len(patches.along) == 0 or most > end - ENOUGH:
            break
        patches, most = _closer(look, patches, most, last=number == LOOKS - 1)
    return None if most == -np.inf else most


def _first(look: _Look, end: float) -> tuple[_Patches, float]:
    """The patches to look at closer, none where skin is left at the very end, and how far it goes at least."""
    knots, turn = len(look.skin.station), 2 * np.pi / AROUND
    along, around = (np.arange(count, dtype=np.float64)[None, :] for count in (knots, AROUND))
    points = look.skin.places(along, turn * around).reshape(-1, 3)
    reach = look.reach(points)
    free, most = np.ones(len(points), dtype=bool), -np.inf
    order = np.argsort(-reach, kind="stable")
    for begin in range(0, len(order), CHUNK):
        chunk = order[begin : begin + CHUNK]
        free[chunk] = look.free(points[chunk])
        if free[chunk].any():
            most = float(reach[chunk[int(free[chunk].argmax())]])
            break
    if most > end - ENOUGH:
        return _Patches(np.zeros(0), np.zeros(0), 1.0, turn), most
    row, column = look.skin.begins[:, None], np.arange(AROUND)[None, :]
    beside = (column + 1) % AROUND
    corners = np.stack(
        np.broadcast_arrays(*(r * AROUND + c for r in (row, row + 1) for c in (column, beside))), axis=-1
    )
    corners = corners.reshape(-1, 4)
    corners = corners[_may_reach(reach[corners], most)]
    asked = np.unique(corners)
    free[asked] = look.free(points[asked])
    corners = corners[free[corners].any(axis=1)]
    kept = corners[np.argsort(-reach[corners].max(axis=1), kind="stable")[:MOST_FIRST], 0]
    return _Patches((kept // AROUND) * 1.0, turn * (kept % AROUND), 1.0, turn), most


def _may_reach(corners: Array, most: float) -> Flags:
    """Whether patches, by how far their corners reach, (n, m), may go on further than `most` between them."""
    high, low = corners.max(axis=1), corners.min(axis=1)
    return np.asarray(high + (high - low) > most)


def _closer(look: _Look, patches: _Patches, most: float, *, last: bool) -> tuple[_Patches, float]:
    """The parts of patches that may reach further than all others, and how far the skin goes at least."""
    share = np.arange(PARTS + 1) / PARTS
    along, around = (
        begin[:, None] + size * share for begin, size in ((patches.along, patches.long), (patches.around, patches.wide))
    )
    points = look.skin.places(along, around)
    reach, free = look.reach(points), look.free(points)
    known = np.where(free, reach, -np.inf)
    most = max(most, float(known.max()))
    ahead = _crossings(look, points[:, :-1], points[:, 1:], free[:, :-1], free[:, 1:], most)
    aside = _crossings(look, points[:, :, :-1], points[:, :, 1:], free[:, :, :-1], free[:, :, 1:], most)
    if last:
        return patches, max(most, float(ahead.max()), float(aside.max()))
    at = [(slice(None), slice(a, a + PARTS), slice(b, b + PARTS)) for a in (0, 1) for b in (0, 1)]
    edges = [ahead[:, :, :-1], ahead[:, :, 1:], aside[:, :-1], aside[:, 1:]]
    score = np.stack([*(known[corner] for corner in at), *edges], axis=-1).max(axis=-1).ravel()
    corners = np.stack([reach[corner].ravel() for corner in at], axis=1)
    order = np.argsort(-score, kind="stable")[:MOST]
    kept = order[(score[order] > -np.inf) & _may_reach(corners[order], most)]
    along, around = (
        np.broadcast_to(part, points[:, :-1, :-1].shape[:3]).ravel()[kept]
        for part in (along[:, :-1, None], around[:, None, :-1])
    )
    return _Patches(along, around, patches.long / PARTS, patches.wide / PARTS), most


def _crossings(look: _Look, one: Array, two: Array, free_one: Flags, free_two: Flags, most: float) -> Array:
    """How far outwards each edge from `one` to `two`, (..., 3), crosses a hollow's rim.

    Minus infinity where it does not, and where it ends before `most`. Edges are taken as straight: at the last look
    they are so short that the skin between their ends is.
    """
    found = np.full(free_one.shape, -np.inf)
    crossed = (free_one != free_two) & (np.maximum(look.reach(one), look.reach(two)) > most)
    if crossed.any():
        begins = free_one[crossed][:, None]
        left, taken = np.where(begins, one[crossed], two[crossed]), np.where(begins, two[crossed], one[crossed])
        for _ in range(HALVINGS):
            middle = (left + taken) / 2
            free = look.free(middle)[:, None]
            left, taken = np.where(free, middle, left), np.where(free, taken, middle)
        found[crossed] = look.reach(left)
    return found
