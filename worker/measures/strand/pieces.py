"""Into how many pieces a bait falls: where relief or hollows part its strands, and what ties the parts together.

Places spread over the strands' sections are asked whether they are left, and whether they lie in another strand. A cut
thinner than a place is broad is not seen, nor is a bridge; where one part ends and the next begins there are far more
places than elsewhere. A strand by itself is told by its outline, exactly.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from worker.measures.strand.places import Box, boxes_of, filled_sections, outside_all, overlap, rims
from worker.strands.roots import Array
from worker.strands.strand import Strand

Flags = NDArray[np.bool_]

SECTIONS, AROUND, RINGS = 96, 24, 5
"""Sections along a run of a strand with hollows, wedges around each and parts of one area in each wedge."""
BETWEEN = (48, 128)
"""Sections and wedges between two parts that follow each other."""
SKINS = tuple(1 - 0.5**step for step in range(1, 11))
"""Radii of the places there, over the section's own: past a pocket a skin of a hundredth of a millimetre may hold."""
COARSE = (64, 16, 2)
"""The same of a strand that no hollow comes near."""
LEAST = 0.01
"""A piece that is less of its run than this is a sliver that the places only seem to leave."""


@dataclass(frozen=True)
class _Part:
    """One piece of one strand by itself: its strand's number, and places in it and on its rim, (n, 3)."""

    strand: int
    places: Array


@lru_cache(maxsize=64)  # a remedy tries many baits that differ in one strand
def pieces_of(strands: tuple[Strand, ...], hollows: tuple[Strand, ...]) -> int:
    """How many pieces there are; limbs that no hollow is near hang on their parents by their making."""
    free = sum(1 for strand in strands if strand.root is None)
    if not hollows and (len(strands) == 1 or (free == 1 and all(len(strand.body.runs) == 1 for strand in strands))):
        return len(strands[0].body.runs)
    boxes = boxes_of((*strands, *hollows))
    # Whole limbs add no piece: where the others are one, there is no need to look at them.
    others = [strand for strand in strands if _may_part(strand, hollows, boxes)]
    first = _counted(others, hollows, boxes)
    return first if first == 1 or len(others) == len(strands) else _counted(strands, hollows, boxes)


def _may_part(strand: Strand, hollows: Sequence[Strand], boxes: Mapping[str, Box]) -> bool:
    near = any(overlap(boxes[strand.name], boxes[hollow.name]) for hollow in hollows)
    return strand.root is None or len(strand.body.runs) > 1 or near


def _counted(strands: Sequence[Strand], hollows: Sequence[Strand], boxes: Mapping[str, Box]) -> int:
    parts = [part for number, strand in enumerate(strands) for part in _parts(number, strand, hollows, boxes)]
    pairs = np.array(list(_ties(strands, parts, boxes))).reshape(-1, 2)
    links = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(parts), len(parts)))
    return max(int(connected_components(links, directed=False)[0]), 1)


def _parts(number: int, strand: Strand, hollows: Sequence[Strand], boxes: Mapping[str, Box]) -> Iterator[_Part]:
    near = [hollow for hollow in hollows if overlap(boxes[strand.name], boxes[hollow.name])]
    sections, around, rings = (SECTIONS, AROUND, RINGS) if near else COARSE
    thinnest = strand.body.thinnest
    for begin, end in strand.body.runs:
        station = begin + (end - begin) * (np.arange(sections) + 0.5) / sections
        station = np.union1d(station, thinnest[(thinnest > begin) & (thinnest < end)])
        places, share = filled_sections(strand, station, around, rings)
        rim = rims(strand, station, around)[0]
        if not near:
            yield _Part(number, np.concatenate([places, rim]))
            continue
        free = outside_all(places, near, boxes).reshape(len(station), rings, around)
        weight = share.reshape(free.shape) * strand.body.area(station)[:, None, None]
        group = _together(free, outside_all(strand.path.frames(station)[0], near, boxes))
        sizes = np.bincount(group, (weight * free).ravel(), minlength=1)
        group = _bridged(strand, station, free, group, sizes > LEAST * float(weight.sum()), near, boxes)
        sizes = np.bincount(group, (weight * free).ravel(), minlength=1)
        outermost = group.reshape(free.shape)[:, -1].ravel()
        bare = free[:, -1].ravel() & outside_all(rim, near, boxes)
        for each in np.flatnonzero(sizes > LEAST * float(weight.sum())):
            inner = places[(group == each) & free.ravel()]
            yield _Part(number, np.concatenate([inner, rim[(outermost == each) & bare]]))


def _bridged(
    strand: Strand,
    station: Array,
    free: Flags,
    group: NDArray[np.int64],
    large: Flags,
    near: Sequence[Strand],
    boxes: Mapping[str, Box],
) -> NDArray[np.int64]:
    """The groups; of the `large` ones those are made one that follow each other and hang together after all."""
    along = np.broadcast_to(np.arange(len(station))[:, None, None], free.shape).ravel()
    spans = sorted(
        (int((at := along[(group == each) & free.ravel()]).min()), int(at.max()), int(each))
        for each in np.flatnonzero(large)
    )
    group = group.copy()
    for (_, last, one), (first, _, other) in pairwise(spans):
        if last < first and _hangs(strand, float(station[last]), float(station[first]), near, boxes):
            group[group == one] = other
    return group


def _hangs(strand: Strand, begin: float, end: float, near: Sequence[Strand], boxes: Mapping[str, Box]) -> bool:
    """Whether any of what is left at `begin` hangs together with what is left at `end`, as finely as is looked."""
    sections, around = BETWEEN
    station = begin + (end - begin) * np.arange(sections) / (sections - 1)
    places = filled_sections(strand, station, around, len(SKINS), np.array(SKINS))[0]
    free = outside_all(places, near, boxes).reshape(sections, len(SKINS), around)
    group = _together(free, outside_all(strand.path.frames(station)[0], near, boxes)).reshape(free.shape)
    return bool(np.isin(group[0][free[0]], group[-1][free[-1]]).any())


def _together(free: Flags, of_middle: Flags) -> NDArray[np.int64]:
    """The group of each place, (stations, rings, around) laid flat: those that hang together by neighbours.

    The middles of sections tie what lies around them; a place that is not free is a group by itself.
    """
    number = np.arange(free.size).reshape(free.shape)
    middle = free.size + np.arange(len(of_middle))
    pairs = [
        (number[:-1], number[1:], free[:-1] & free[1:]),
        (number[:, :-1], number[:, 1:], free[:, :-1] & free[:, 1:]),
        (number, np.roll(number, 1, axis=2), free & np.roll(free, 1, axis=2)),
        (np.broadcast_to(middle[:, None], free[:, 0].shape), number[:, 0], free[:, 0] & of_middle[:, None]),
    ]
    one, two = (np.concatenate([pair[side][pair[2]].ravel() for pair in pairs]) for side in (0, 1))
    size = free.size + len(of_middle)
    _, group = connected_components(coo_array((np.ones(len(one)), (one, two)), shape=(size, size)), directed=False)
    return np.asarray(group[: free.size], dtype=np.int64)


def _ties(strands: Sequence[Strand], parts: Sequence[_Part], boxes: Mapping[str, Box]) -> Iterator[tuple[int, int]]:
    """Numbers of two parts that share places; what lies in another strand lies in the part of it that is nearest."""
    of_strand: dict[int, list[int]] = {}
    for number, part in enumerate(parts):
        of_strand.setdefault(part.strand, []).append(number)
    for other, numbers in of_strand.items():
        tree: cKDTree | None = None
        owner = np.repeat(numbers, [len(parts[number].places) for number in numbers])
        for number, part in enumerate(parts):
            if part.strand == other or not overlap(boxes[strands[part.strand].name], boxes[strands[other].name]):
                continue
            inside = part.places[~outside_all(part.places, [strands[other]], boxes)]
            if len(inside) and len(numbers) == 1:
                yield number, numbers[0]
            elif len(inside):
                tree = tree or cKDTree(np.concatenate([parts[number].places for number in numbers]))
                for held in np.unique(owner[tree.query(inside)[1]]).tolist():
                    yield number, held
