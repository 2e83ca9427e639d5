"""Paths: the line that a strand follows, with frames that do not twist."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from worker.strands.roots import Array
from worker.strands.vectors import cross, dot

Point = tuple[float, float, float]


class Path(Protocol):
    """A line of `length` mm; its frame at a station is the point, the direction to the left and the one to the back."""

    @property
    def length(self) -> float:
        """Length along the path, mm."""
        ...

    @property
    def straight(self) -> bool:
        """Whether it never turns."""
        ...

    def frames(self, station: Array) -> tuple[Array, Array, Array]:
        """Points, unit vectors to the left and to the back, each (n, 3), at `station` (n,) mm from the root."""
        ...

    def curvature(self, station: Array) -> Array:
        """Curvature vectors, 1/mm, (n, 3): towards the middle of the turn, one over its radius long."""
        ...

    def subdivided(self, station: Array, sag: float, reach: float) -> Array:
        """Sorted `station` with more between, so that no chord `reach` mm outside of the path sags by over `sag` mm."""
        ...

    def nearest(self, points: Array) -> Array:
        """Station, (n,), of the path's point nearest to each of `points` (n, 3)."""
        ...

    def beside(self, points: Array) -> Beside:
        """Where each of `points` (n, 3) lies beside the path, to a thousandth of its turns' radii: quick, for many."""
        ...

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        ...


@dataclass(frozen=True)
class Beside:
    """Station of the nearest point of a path, and how far to the left, to the back and past an end; (n,), mm."""

    station: Array
    left: Array
    back: Array
    past: Array


@dataclass(frozen=True)
class StraightPath:
    """Straight along `direction` from `start`: as the bait lies, from the nose to the tail along x.

    `direction` and `left` are unit vectors, square to each other.
    """

    length: float
    start: Point = (0.0, 0.0, 0.0)
    direction: Point = (1.0, 0.0, 0.0)
    left: Point = (0.0, 1.0, 0.0)

    @property
    def straight(self) -> bool:
        """It never turns."""
        return True

    def frames(self, station: Array) -> tuple[Array, Array, Array]:
        """See Path."""
        points = np.empty((len(station), 3))
        for axis in range(3):
            points[:, axis] = self.start[axis] + self.direction[axis] * station
        left = np.broadcast_to(np.array(self.left), points.shape)
        return points, left, np.broadcast_to(cross(np.array(self.direction), np.array(self.left)), points.shape)

    def curvature(self, station: Array) -> Array:
        """See Path: none."""
        return np.zeros((len(station), 3))

    def subdivided(self, station: Array, sag: float, reach: float) -> Array:
        """See Path: nothing to add."""
        return station

    def nearest(self, points: Array) -> Array:
        """See Path."""
        along = dot(points - np.array(self.start), np.array(self.direction))
        return np.clip(along, 0.0, self.length)

    def beside(self, points: Array) -> Beside:
        """See Path; exact."""
        away, left = points - np.array(self.start), np.array(self.left)
        along = dot(away, np.array(self.direction))
        station = np.minimum(np.maximum(along, 0.0), self.length)
        back = cross(np.array(self.direction), left)
        return Beside(station, dot(away, left), dot(away, back), np.abs(along - station))

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        if self.start == (0.0, 0.0, 0.0) and self.direction == (1.0, 0.0, 0.0):
            return {"length": self.length}
        return {"length": self.length, "start": list(self.start), "direction": list(self.direction)}


OTHER_SIDE = np.array([1.0, -1.0, 1.0])
"""What turns a point or a vector over to the bait's other side: x and z stay, y changes its sign."""


@dataclass(frozen=True)
class HandedPath:
    """Another path on the other side of the bait: y turned round."""

    of: Path

    @property
    def length(self) -> float:
        """Length along the path, mm."""
        return self.of.length

    @property
    def straight(self) -> bool:
        """Whether it never turns."""
        return self.of.straight

    def frames(self, station: Array) -> tuple[Array, Array, Array]:
        """See Path. Left turns into right, so the direction to the left is taken the other way round."""
        points, left, back = self.of.frames(station)
        return points * OTHER_SIDE, -left * OTHER_SIDE, back * OTHER_SIDE

    def curvature(self, station: Array) -> Array:
        """See Path."""
        return np.asarray(self.of.curvature(station) * OTHER_SIDE)

    def subdivided(self, station: Array, sag: float, reach: float) -> Array:
        """See Path."""
        return self.of.subdivided(station, sag, reach)

    def nearest(self, points: Array) -> Array:
        """See Path."""
        return self.of.nearest(points * OTHER_SIDE)

    def beside(self, points: Array) -> Beside:
        """See Path."""
        there = self.of.beside(points * OTHER_SIDE)
        return Beside(there.station, -there.left, there.back, there.past)

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {"handed": self.of.describe()}
