"""A cut that is flat, measured again on the surface itself: the least section near the plane that fits it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from worker.measures.solid.grid import Flags, Grid
from worker.measures.solid.minimum_cut import Cut
from worker.measures.solid.plane_section import Surface, section
from worker.measures.solid.vectors3 import along, main_axes, middle_of
from worker.strands.roots import Array

FLAT_SHARE = 0.1
"""A cut is flat whose places lie within this share of its width of a plane (root mean square)."""
REACH_CELLS = 1.5
"""The least section is looked for so many cells to both sides of the plane that fits."""
HALVINGS = 8
MOST_PLACES = 48
"""So many of a cut's places tell which regions of a section are the cut's."""


@dataclass(frozen=True)
class Fitted:
    """The plane of least squares through a cut: its middle, the unit normal towards what is lost, the unit direction
    in which the cut is longest, its length that way, and how far its places lie off the plane (root mean square); mm.

    Of a rectangle with even places the length is its own; `width` is area over length.
    """

    middle: Array
    normal: Array
    lengthwise: Array
    length: float
    width: float
    off: float

    @property
    def flat(self) -> bool:
        """Whether a plane stands for it."""
        return self.off <= FLAT_SHARE * min(self.width, self.length)


def fitted(grid: Grid, cut: Cut, area: float) -> Fitted:
    """The plane through a cut of `area` mm2."""
    middle = middle_of(cut.places, cut.shares)
    squares, axes = main_axes(cut.places, cut.shares, middle)
    normal = axes[2]
    near = ((grid.middles - middle) ** 2).sum(axis=1) <= 4 * float(squares[0]) + 9 * grid.size**2
    lost, kept = (grid.middles[near & side] for side in (cut.lost, ~cut.lost))
    if len(lost) and len(kept) and along(lost, normal).mean() < along(kept, normal).mean():
        normal = -normal
    length = math.sqrt(12 * float(squares[0]))
    return Fitted(middle, normal, axes[0], length, area / max(length, 1e-9), math.sqrt(float(squares[2])))


@dataclass(frozen=True)
class FlatCut:
    """The least section: area mm2, rim mm, a point of its plane and the unit normal towards what is lost."""

    area: float
    rim: float
    point: Array
    normal: Array


def spread_places(cut: Cut) -> Array:
    """Some of a cut's places, (k, 3) mm, spread over it."""
    return cut.places[:: max(1, len(cut.places) // MOST_PLACES)]


def least_section(surface: Surface, grid: Grid, cut: Cut, plane: Fitted, ends: Flags, held: Flags) -> FlatCut | None:
    """The least section near the plane of a cut that parts the `ends` (n,) from what is `held`; None without any.

    Offset and two tilts in turn, by steps that halve.
    """
    places = spread_places(cut)
    reach = REACH_CELLS * grid.size
    back, ahead = _room(grid, plane, ends, held, reach)
    # Tilted as far as the offset reaches, its rim moves as far: less along a long cut than across it.
    one, two = plane.lengthwise, np.cross(plane.normal, plane.lengthwise)
    tilts = [reach / max(side / 2, 2 * grid.size) for side in (plane.length, plane.width)]
    # What reaches further than this is more than the cut.
    surface = surface.near(plane.middle, 1.5 * max(plane.length, plane.width) + 4 * grid.size)

    def measured(at: tuple[float, float, float]) -> FlatCut:
        normal = plane.normal + at[1] * one + at[2] * two
        normal = normal / math.sqrt(float((normal * normal).sum()))
        point = plane.middle + at[0] * plane.normal
        found = section(surface, point, normal, places)
        # A section that misses half of the cut is another one.
        area = found.area if 2 * found.held >= len(places) else math.inf
        return FlatCut(area, found.rim, point, normal)

    best = (min(max(0.0, -back), ahead), 0.0, 0.0)
    least = measured(best)
    limits = ((-back, ahead), (-tilts[0], tilts[0]), (-tilts[1], tilts[1]))
    steps = [reach / 2, tilts[0] / 2, tilts[1] / 2]
    for _ in range(HALVINGS):
        for which, (low, high) in enumerate(limits):
            for way in (-1.0, 1.0):
                tried = list(best)
                tried[which] = min(max(tried[which] + way * steps[which], low), high)
                other = measured((tried[0], tried[1], tried[2]))
                if other.area < least.area * (1 - 1e-9):
                    least, best = other, (tried[0], tried[1], tried[2])
                    break
        steps = [step / 2 for step in steps]
    return least if math.isfinite(least.area) else None


def _room(grid: Grid, plane: Fitted, ends: Flags, held: Flags, reach: float) -> tuple[float, float]:
    """How far the plane may move back to what is held, and ahead before it would cut the ends themselves; mm."""
    span = max(plane.length, plane.width) / 2 + grid.size
    offset = along(grid.middles - plane.middle, plane.normal)
    away = grid.middles - plane.middle
    beside = np.sqrt(np.maximum((away * away).sum(axis=1) - offset * offset, 0.0)) <= span
    near = beside & (np.abs(offset) <= 4 * reach)
    ahead = float(offset[near & ends].min(initial=math.inf)) - grid.size / 2
    back = -float(offset[near & held].max(initial=-math.inf)) - grid.size / 2
    return min(max(back, 0.0), reach), min(max(ahead, 0.0), reach)
