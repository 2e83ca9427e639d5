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
    return Sections(*limb.path.frames(station), *limb.plain.half_sizes(station))


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


def root_shows(limb: Strand, parent: Strand) -> bool:
    """Whether the very begin of a limb, which has to lie in its parent, sticks out of it."""
    points, left, back = limb.path.frames(np.array([0.0]))
    half_width, half_height = (float(size[0]) for size in limb.plain.half_sizes(np.array([0.0])))
    rim = np.concatenate(
        [points + side for side in (left * half_width, -left * half_width, back * half_height, -back * half_height)]
    )
    return bool((outside(parent, rim) > 0).any())


def comes_back(limb: Strand, parent: Strand) -> bool:
    """Whether a limb that has left its parent runs into it again."""
    seen = sections_of(limb)
    station = np.arange(LOOKS)
    rim = np.stack(
        [
            seen.points + side
            for half, way in ((seen.half_width, seen.left), (seen.half_height, seen.back))
            for side in (half[:, None] * way, -half[:, None] * way)
        ]
    )
    inside = (outside(parent, rim.reshape(-1, 3)) < 0).reshape(4, LOOKS).any(axis=0)
    free = np.flatnonzero(~inside)
    return bool(len(free)) and bool((inside & (station > free[0])).any())
