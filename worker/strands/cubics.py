"""Piecewise cubics: girths along a path, as outlines take them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.strands.outline import CURVE, Pieces
from worker.strands.roots import Array


@dataclass(frozen=True)
class Cubics:
    """Piecewise cubics, one element a piece, as Pieces has them."""

    begin: Array
    end: Array
    origin: Array
    height: Array
    slope: Array
    second: Array
    third: Array

    def between(self, low: float, high: float) -> Cubics:
        """The part of it from `low` to `high`."""
        kept = (self.end > low + 1e-9) & (self.begin < high - 1e-9)
        parts = {name: getattr(self, name)[kept] for name in self.__dataclass_fields__}
        return Cubics(**{**parts, "begin": np.maximum(parts["begin"], low), "end": np.minimum(parts["end"], high)})

    def pieces(self) -> Pieces:
        """As pieces of an outline."""
        none = np.zeros(len(self.begin))
        kind = np.full(len(self.begin), CURVE)
        return Pieces(
            kind, self.begin, self.end, self.origin, self.height, none, none, self.slope, self.second, self.third
        )

    def heights(self, at: Array) -> Array:
        """Height at each station."""
        piece, away = self._place(at)
        bend = self.second[piece] + away * self.third[piece]
        return np.asarray(self.height[piece] + away * (self.slope[piece] + away * bend))

    def slopes(self, at: Array) -> Array:
        """Rise over run at each station."""
        piece, away = self._place(at)
        return np.asarray(self.slope[piece] + away * (2 * self.second[piece] + 3 * away * self.third[piece]))

    def height_at(self, at: float) -> float:
        """Height at one station."""
        return float(self.heights(np.array([at]))[0])

    def _place(self, at: Array) -> tuple[NDArray[np.int64], Array]:
        piece = np.clip(np.searchsorted(self.begin, at, side="right") - 1, 0, len(self.begin) - 1)
        return piece, at - self.origin[piece]
