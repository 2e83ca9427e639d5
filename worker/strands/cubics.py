"""Piecewise cubics: girths along a path, as outlines take them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

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

    def height_at(self, at: float) -> float:
        """Height at one station."""
        piece = int(np.clip(np.searchsorted(self.begin, at, side="right") - 1, 0, len(self.begin) - 1))
        away = at - float(self.origin[piece])
        c1, c2, c3 = (float(part[piece]) for part in (self.slope, self.second, self.third))
        return float(self.height[piece]) + away * (c1 + away * (c2 + away * c3))
