"""A strand's body: its sections along the path, from exact outlines, and the grid on which integrals are taken."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from worker.strands.floor_edges import edges
from worker.strands.outline import Outline
from worker.strands.roots import Array
from worker.strands.section import ELLIPSE, Section

STEPS, ROUNDS = 16, 3
"""The thinnest section of an oval gap is looked for at so many places, and again between the best one's neighbours."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(10)
_BUNCHED, _SHARES = np.sin(np.pi / 2 * _NODES), np.pi / 2 * np.cos(np.pi / 2 * _NODES) * _WEIGHTS
"""A stretch's stations over its half, from its middle, and what each stands for."""


@dataclass(frozen=True)
class Grid:
    """Stations and weights for integrals along the path: sum(weight * f(station)). Shapes (n,)."""

    station: Array
    weight: Array


@dataclass(frozen=True)
class Body:
    """Sections from three outlines: half-width from `side`, reach to the `back` and to the `belly`.

    Equal outlines are one object. `belly` left out is the back's; `section` is the sections' shape.
    """

    side: Outline
    back: Outline
    belly: Outline | None = None
    section: Section = ELLIPSE

    @cached_property
    def lower(self) -> Outline:
        """The belly's outline."""
        return self.back if self.belly is None else self.belly

    @cached_property
    def outlines(self) -> tuple[Outline, ...]:
        """The outlines that differ, the side's first."""
        every = {id(outline): outline for outline in (self.side, self.back, self.lower)}
        return tuple(every.values())

    @property
    def round(self) -> bool:
        """Whether every section is a circle."""
        return self.side is self.back and self.even and self.section.elliptic

    @property
    def even(self) -> bool:
        """Whether the belly's outline is the back's."""
        return self.back is self.lower

    @cached_property
    def runs(self) -> list[tuple[float, float]]:
        """The connected stretches: where the side has material, and the back or the belly."""
        if len(self.outlines) == 1:
            return self.side.runs
        upright = self.back.runs if self.even else _either(self.back.runs, self.lower.runs)
        return [(max(a, c), min(b, d)) for a, b in self.side.runs for c, d in upright if min(b, d) - max(a, c) > 0]

    @cached_property
    def ends(self) -> Array:
        """Sorted stations at which any piece of an outline begins or ends."""
        return np.unique(np.concatenate([part for o in self.outlines for part in (o.pieces.begin, o.pieces.end)]))

    @cached_property
    def relief(self) -> Outline:
        """The outline whose gaps are the joints': the side's, where it has any."""
        return max(self.outlines, key=lambda outline: len(outline.gaps.station))

    @cached_property
    def joined(self) -> NDArray[np.bool_]:
        """Whether the section at each gap of the relief has material: an outline without gaps has it everywhere."""
        side, back, belly = (self._joined(outline) for outline in (self.side, self.back, self.lower))
        return np.asarray(side & (back | belly))

    def _joined(self, outline: Outline) -> NDArray[np.bool_]:
        count = len(self.relief.gaps.joined)
        return outline.gaps.joined if len(outline.gaps.joined) == count else np.ones(count, dtype=bool)

    @cached_property
    def level_edges(self) -> Array:
        """Sorted stations at which the section's floor begins or ends to cut the belly; none without a floor."""
        return np.zeros(0) if self.section.floor is None else edges(self.lower, self.section.floor)

    def grid(self, begin: float | None = None, extra: Array | None = None) -> Grid:
        """Gauss-Legendre stations on every stretch between two ends of pieces or of a level belly, from `begin` on.

        `extra` stations cut the stretches further, where a quantity that is no outline's changes fast. Stations are
        bunched to both ends by a sine, so that the square roots of arcs that end upright cost nothing.
        """
        return self.whole_grid if begin is None and extra is None else self._grid(begin, extra)

    @cached_property
    def whole_grid(self) -> Grid:
        """The grid of all of it: several measures take it."""
        return self._grid(None, None)

    @cached_property
    def sizes_on_grid(self) -> tuple[Array, Array, Array]:
        """Sizes on `whole_grid`."""
        return self.sizes(self.whole_grid.station)

    def _grid(self, begin: float | None, extra: Array | None) -> Grid:
        cuts = self.ends if extra is None else np.union1d(self.ends, extra)
        if len(self.level_edges):
            cuts = np.union1d(cuts, self.level_edges)
        if begin is not None:
            cuts = np.concatenate([[begin], cuts[cuts > begin]])
        low, high = cuts[:-1], cuts[1:]
        half = (high - low) / 2
        station = (low + half)[:, None] + half[:, None] * _BUNCHED
        weight = half[:, None] * _SHARES
        return Grid(station.ravel(), weight.ravel())

    def sizes(self, station: Array) -> tuple[Array, Array, Array]:
        """Half-width and reach to back and belly, mm, at each station, before a floor cuts the belly."""
        half_width = self.side.height(station)
        back = half_width if self.back is self.side else self.back.height(station)
        return half_width, back, back if self.even else self.lower.height(station)

    def half_sizes(self, station: Array) -> tuple[Array, Array]:
        """Half-width and half the height, mm, at each station."""
        half_width, back, belly = self.sizes(station)
        return half_width, back if belly is back and self.section.floor is None else self._half(back, belly)

    def _half(self, back: Array, belly: Array) -> Array:
        return np.asarray((back + self.section.below(belly)) / 2)

    def rises(self, station: Array) -> tuple[Array, Array, Array]:
        """Slopes of half-width and of the reaches along the path."""
        known = {id(o): o.pieces.rise(o.piece_at(station), station) for o in self.outlines}
        return known[id(self.side)], known[id(self.back)], known[id(self.lower)]

    def area(self, station: Array) -> Array:
        """Section area, mm2."""
        return self.section.area(*self.sizes(station))

    def beside(self, station: Array, *, later: bool) -> tuple[Array, Array, Array]:
        """Sizes just before or, if `later`, just after each station: they differ at an upright face."""
        known = {id(o): o.height_beside(station, later=later) for o in self.outlines}
        return known[id(self.side)], known[id(self.back)], known[id(self.lower)]

    def narrower_side(self, station: Array) -> tuple[Array, Array, Array]:
        """Sizes at each station; at an upright face those of the side with the smaller section.

        A cone's slope meets the next cone's face below the edge of that face: the neck is the slope's end.
        """
        before, after = (self.beside(station, later=later) for later in (False, True))
        first = self.section.area(*before) < self.section.area(*after)
        width, back, belly = (np.where(first, one, other) for one, other in zip(before, after, strict=True))
        return width, back, back if self.even else belly

    @cached_property
    def crests(self) -> tuple[Array, Array, Array]:
        """Sizes at the crests between which the gaps of the relief lie."""
        outlines = (self.side, self.back, self.lower)
        count = len(self.relief.crest_x)
        if all(len(outline.crest_x) == count for outline in outlines):
            side, back, belly = (outline.crest_y for outline in outlines)
            return side, back, back if self.even else belly
        return self.sizes(self.relief.crest_x)

    @cached_property
    def greatest_height(self) -> float:
        """Greatest height from belly to back, mm."""
        if self.even and self.section.floor is None:
            return 2 * float(self.back.crest_y.max())
        at = np.unique(np.concatenate([self.back.crest_x, self.lower.crest_x]))
        return 2 * float(self.half_sizes(at)[1].max())

    @cached_property
    def thinnest(self) -> Array:
        """Where each gap's section is smallest: at the necks of the outlines, or between them where they differ.

        Before the first neck the outlines fall and behind the last they rise, so it is nowhere else.
        """
        count = len(self.relief.gaps.station)
        at_necks = [o.gaps.station for o in self.outlines if len(o.gaps.station) == count]
        low, high = np.min(at_necks, axis=0), np.max(at_necks, axis=0)
        if bool(np.all(high - low < 1e-9)):
            return self.relief.gaps.station
        row = np.arange(count)
        for _ in range(ROUNDS):
            at = low[:, None] + (high - low)[:, None] * (np.arange(STEPS + 1) / STEPS)
            area = self.section.area(*self.narrower_side(at.ravel()))
            best = area.reshape(at.shape).argmin(axis=1)
            low, high = at[row, np.maximum(best - 1, 0)], at[row, np.minimum(best + 1, STEPS)]
        return np.asarray(at[row, best])


def _either(one: list[tuple[float, float]], other: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The stretches that either list covers."""
    merged: list[tuple[float, float]] = []
    for begin, end in sorted([*one, *other]):
        if merged and begin < merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((begin, end))
    return merged
