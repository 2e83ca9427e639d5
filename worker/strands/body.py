"""A strand's body: its sections along the path, from exact outlines, and the grid on which integrals are taken."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from worker.strands.outline import Outline
from worker.strands.roots import Array

STEPS, ROUNDS = 16, 3
"""The thinnest section of an oval gap is looked for at so many places, and again between the best one's neighbours."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(10)


@dataclass(frozen=True)
class Grid:
    """Stations and weights for integrals along the path: sum(weight * f(station)). Shapes (n,)."""

    station: Array
    weight: Array


@dataclass(frozen=True)
class Body:
    """Elliptic sections: half-width from `side`, half-height from `height`; both the same object where it is round."""

    side: Outline
    height: Outline

    @property
    def round(self) -> bool:
        """Whether every section is a circle."""
        return self.side is self.height

    @cached_property
    def runs(self) -> list[tuple[float, float]]:
        """The connected stretches: where both outlines have material."""
        if self.round:
            return self.side.runs
        return [
            (max(a, c), min(b, d)) for a, b in self.side.runs for c, d in self.height.runs if min(b, d) - max(a, c) > 0
        ]

    @cached_property
    def ends(self) -> Array:
        """Sorted stations at which any piece of an outline begins or ends."""
        outlines = (self.side,) if self.round else (self.side, self.height)
        return np.unique(np.concatenate([part for o in outlines for part in (o.pieces.begin, o.pieces.end)]))

    def grid(self, begin: float | None = None, extra: Array | None = None) -> Grid:
        """Gauss-Legendre stations on every stretch between two ends of pieces, from `begin` on.

        `extra` stations cut the stretches further, where a quantity that is no outline's changes fast. Stations are
        bunched to both ends by a sine, so that the square roots of arcs that end upright cost nothing.
        """
        cuts = self.ends if extra is None else np.union1d(self.ends, extra)
        if begin is not None:
            cuts = np.concatenate([[begin], cuts[cuts > begin]])
        low, high = cuts[:-1], cuts[1:]
        turn = np.pi / 2 * _NODES
        half = (high - low) / 2
        station = (low + half)[:, None] + half[:, None] * np.sin(turn)
        weight = half[:, None] * (np.pi / 2 * np.cos(turn) * _WEIGHTS)
        return Grid(station.ravel(), weight.ravel())

    def half_sizes(self, station: Array) -> tuple[Array, Array]:
        """Half-width and half-height, mm, at each station."""
        half_width = self.side.height(station)
        return half_width, half_width if self.round else self.height.height(station)

    def rises(self, station: Array) -> tuple[Array, Array]:
        """Slopes of half-width and half-height along the path."""
        side = self.side.pieces.rise(self.side.piece_at(station), station)
        return side, side if self.round else self.height.pieces.rise(self.height.piece_at(station), station)

    def area(self, station: Array) -> Array:
        """Section area, mm2: of an ellipse, pi a b."""
        half_width, half_height = self.half_sizes(station)
        return np.pi * half_width * half_height

    def narrower_side(self, station: Array) -> tuple[Array, Array]:
        """Half-width and half-height at each station; at an upright face those of the side with the smaller section.

        A cone's slope meets the next cone's face below the edge of that face: the neck is the slope's end.
        """
        outlines = (self.side,) if self.round else (self.side, self.height)
        before, after = ([each.height_beside(station, later=later) for each in outlines] for later in (False, True))
        first = before[0] * before[-1] < after[0] * after[-1]
        return np.where(first, before[0], after[0]), np.where(first, before[-1], after[-1])

    @cached_property
    def thinnest(self) -> Array:
        """Where each gap's section is smallest: at the necks of both outlines, or between them where they differ.

        Before the first neck both outlines fall and behind the second both rise, so it is nowhere else.
        """
        side, height = self.side.gaps.station, self.height.gaps.station
        if bool(np.all(np.abs(side - height) < 1e-9)):
            return side
        low, high, row = np.minimum(side, height), np.maximum(side, height), np.arange(len(side))
        for _ in range(ROUNDS):
            at = low[:, None] + (high - low)[:, None] * (np.arange(STEPS + 1) / STEPS)
            half_width, half_height = self.narrower_side(at.ravel())
            best = (half_width * half_height).reshape(at.shape).argmin(axis=1)
            low, high = at[row, np.maximum(best - 1, 0)], at[row, np.minimum(best + 1, STEPS)]
        return np.asarray(at[row, best])
