"""Paths: the line that a strand follows, with frames that do not twist."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from worker.strands.roots import Array


class Path(Protocol):
    """A line of `length` mm; its frame at a station is the point, the direction to the left and the one to the back."""

    @property
    def length(self) -> float:
        """Length along the path, mm."""
        ...

    def frames(self, station: Array) -> tuple[Array, Array, Array]:
        """Points, unit vectors to the left and to the back, each (n, 3), at `station` (n,) mm from the root."""
        ...

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        ...


@dataclass(frozen=True)
class StraightPath:
    """From the nose straight to the tail along x."""

    length: float

    def frames(self, station: Array) -> tuple[Array, Array, Array]:
        """See Path."""
        points = np.zeros((len(station), 3))
        points[:, 0] = station
        left, back = np.zeros_like(points), np.zeros_like(points)
        left[:, 1] = 1.0
        back[:, 2] = 1.0
        return points, left, back

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {"length": self.length}
