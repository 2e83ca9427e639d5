"""Where a strand of the open form lies: a point and three directions, ahead, to its left and to its back."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.strands.path import Path, Point
from worker.strands.vectors import cross


@dataclass(frozen=True)
class Frame:
    """Unit vectors square to one another, and the point that they start from; mm from the nose."""

    origin: Point = (0.0, 0.0, 0.0)
    ahead: Point = (1.0, 0.0, 0.0)
    left: Point = (0.0, 1.0, 0.0)
    back: Point = (0.0, 0.0, 1.0)

    def direction(self, way: Sequence[float]) -> Point:
        """A direction said ahead, to the left and to the back, in the bait's own x, y, z."""
        x, y, z = (
            way[0] * a + way[1] * b + way[2] * c for a, b, c in zip(self.ahead, self.left, self.back, strict=True)
        )
        return x, y, z

    def point(self, at: Sequence[float]) -> Point:
        """A point said likewise from the origin."""
        x, y, z = (o + d for o, d in zip(self.origin, self.direction(at), strict=True))
        return x, y, z

    def turned(self, start: Sequence[float], yaw: float, rise: float) -> Frame:
        """The frame that begins at `start` and points `yaw` degrees to the left and `rise` degrees to the back."""
        (cosine, sine), (level, up) = turn_of(yaw), turn_of(rise)
        return Frame(
            self.point(start),
            self.direction((cosine * level, sine * level, up)),
            self.direction((-sine, cosine, 0.0)),
            self.direction((-cosine * up, -sine * up, level)),
        )


def turn_of(degrees: float) -> tuple[float, float]:
    """Cosine and sine, at 12 digits: those of right angles are whole, and the last bit is the same everywhere."""
    angle = math.radians(degrees)
    return round(math.cos(angle), 12) + 0.0, round(math.sin(angle), 12) + 0.0


def frame_at(path: Path, station: float) -> Frame:
    """The frame of a path at a station."""
    points, left, back = path.frames(np.array([station]))
    ahead = cross(left, back)
    origin, along, aside, upward = (tuple((each[0] + 0.0).tolist()) for each in (points, ahead, left, back))
    return Frame(origin, along, aside, upward)


def mirrored(values: Sequence[float]) -> tuple[float, ...]:
    """A point or direction said ahead, to the left and to the back, on the other side."""
    return values[0], -values[1] + 0.0, values[2]
