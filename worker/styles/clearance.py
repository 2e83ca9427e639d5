"""Room between limbs: what a mould needs between two skins, by the sections themselves and without a mesh."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.strands.attach import outside
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import dot, norm

LEAST_GAP = 0.8
"""Least gap between two limbs, mm: the thinnest wall of a mould that lasts (judgement)."""
LOOKS = 28
"""Sections of a limb that are looked at, from where it leaves its parent to its tip."""


@dataclass(frozen=True)
class Sections:
    """Sections of a limb outside of its parent, (n, 3) and (n,): middles, their sides, and half sizes; mm."""

    points: Array
    left: Array
    back: Array
    half_width: Array
    half_height: Array

    def reach(self, towards: Array) -> Array:
        """How far each section reaches in its own direction, unit vectors (n, m, 3): (n, m)."""
        across = dot(towards, self.left[:, None, :]) * self.half_width[:, None]
        upward = dot(towards, self.back[:, None, :]) * self.half_height[:, None]
        return np.asarray(np.sqrt(across * across + upward * upward))

    @property
    def largest(self) -> float:
        """Greatest half size."""
        return float(max(self.half_width.max(), self.half_height.max()))


@lru_cache(maxsize=128)  # each limb is held against every other one
def sections_of(limb: Strand) -> Sections:
    """Outside of its parent."""
    begin, end = 0.0 if limb.root is None else limb.root.leaves, float(limb.body.ends[-1])
    station = begin + (end - begin) * (np.arange(LOOKS) + 0.5) / LOOKS
    return Sections(*limb.path.frames(station), *limb.body.half_sizes(station))


def gap(one: Strand, other: Strand) -> float:
    """Least distance between the skins of two limbs, mm, to about a section's distance; below 0 where they meet."""
    a, b = sections_of(one), sections_of(other)
    away = b.points[None, :, :] - a.points[:, None, :]
    apart = np.maximum(norm(away), 1e-9)
    towards = away / apart[:, :, None]
    return float((apart - a.reach(towards) - b.reach(towards.swapaxes(0, 1)).T).min())


def too_near(limbs: Sequence[Strand]) -> Iterator[tuple[Strand, Strand, float]]:
    """Every two of `limbs` with less than LEAST_GAP between them, and how much there is. A limb and what grows out of
    it are not asked."""
    boxes = []
    for limb in limbs:
        seen = sections_of(limb)
        boxes.append((seen.points.min(axis=0) - seen.largest, seen.points.max(axis=0) + seen.largest))
    for second, later in enumerate(limbs):
        for first, earlier in enumerate(limbs[:second]):
            related = {earlier.name, later.name} & {limb.root.parent for limb in (earlier, later) if limb.root}
            clear = (boxes[first][0] > boxes[second][1] + LEAST_GAP) | (boxes[second][0] > boxes[first][1] + LEAST_GAP)
            if related or bool(clear.any()):
                continue
            between = gap(earlier, later)
            if between < LEAST_GAP:
                yield earlier, later, between


def from_middle(limb: Strand) -> float:
    """How far to the left of the middle plane a left limb's skin stays outside of its parent, mm."""
    seen = sections_of(limb)
    aside = np.zeros((LOOKS, 1, 3))
    aside[:, 0, 1] = 1.0
    return float((seen.points[:, 1] - seen.reach(aside)[:, 0]).min())


@dataclass(frozen=True)
class Leaving:
    """How a limb leaves its parent: whether its very begin, which has to lie inside, sticks out; whether it leaves and
    runs into its parent again."""

    root_shows: bool
    comes_back: bool


def leaving(limb: Strand, parent: Strand) -> Leaving:
    """The four sides of each section are looked at."""
    seen = sections_of(limb)
    begin = np.array([0.0])
    first = Sections(*limb.path.frames(begin), *limb.body.half_sizes(begin))
    rims = [_sides(first), _sides(seen)]
    out = outside(parent, np.concatenate([rim.reshape(-1, 3) for rim in rims]))
    shows = bool((out[:4] > 0).any())
    inside = np.asarray((out[4:].reshape(4, LOOKS) < 0).any(axis=0))
    free = np.flatnonzero(~inside)
    return Leaving(shows, bool(len(free)) and bool(inside[free[0] :].any()))


def _sides(sections: Sections) -> Array:
    """The outermost points to both sides, to the back and to the belly: (4, n, 3)."""
    across = sections.half_width[:, None] * sections.left
    upward = sections.half_height[:, None] * sections.back
    return np.stack([sections.points + side for side in (across, -across, upward, -upward)])


def span(limb: Strand) -> tuple[float, float]:
    """Before and behind what no point of the limb lies along the bait, x in mm: quick, and a little too wide."""
    seen = sections_of(limb)
    step = limb.path.length / LOOKS
    x = seen.points[:, 0]
    return float(x.min()) - seen.largest - step, float(x.max()) + seen.largest + step
