"""A place to build at: an origin with its own directions ahead, to the left and to the back."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from worker.strands.outline import BULGE
from worker.strands.path import Path, Point
from worker.strands.strand import Strand
from worker.strands.vectors import cross


@dataclass(frozen=True)
class Place:
    """`origin` in mm, and unit vectors square to each other; ahead x left = back."""

    origin: Point = (0.0, 0.0, 0.0)
    ahead: Point = (1.0, 0.0, 0.0)
    left: Point = (0.0, 1.0, 0.0)
    back: Point = (0.0, 0.0, 1.0)

    def way(self, ahead: float, left: float = 0.0, back: float = 0.0) -> Point:
        """The direction (or way, mm) with these parts."""
        x, y, z = (ahead * a + left * b + back * c for a, b, c in zip(self.ahead, self.left, self.back, strict=True))
        return x, y, z

    def at(self, ahead: float, left: float = 0.0, back: float = 0.0) -> Point:
        """The point so far ahead, to the left and to the back of the origin; mm."""
        x, y, z = (o + w for o, w in zip(self.origin, self.way(ahead, left, back), strict=True))
        return x, y, z

    def turned(self, yaw: float) -> Place:
        """The same origin, turned `yaw` degrees to the left."""
        cosine, sine = math.cos(math.radians(yaw)), math.sin(math.radians(yaw))
        return replace(self, ahead=self.way(cosine, sine), left=self.way(-sine, cosine))

    def tilted(self, pitch: float) -> Place:
        """The same origin, turned `pitch` degrees to the back."""
        cosine, sine = math.cos(math.radians(pitch)), math.sin(math.radians(pitch))
        return replace(self, ahead=self.way(cosine, 0.0, sine), back=self.way(-sine, 0.0, cosine))

    def on_edge(self) -> Place:
        """A quarter turn about the way ahead: what was the left is now the belly."""
        return replace(self, left=self.way(0.0, 0.0, -1.0), back=self.way(0.0, 1.0))

    def moved(self, ahead: float, left: float = 0.0, back: float = 0.0) -> Place:
        """The same directions at another point."""
        return replace(self, origin=self.at(ahead, left, back))


def place_on(path: Path, station: float) -> Place:
    """The path's own point and directions at a station, mm from its root."""
    points, left, back = path.frames(np.array([station]))
    ahead = cross(left, back)
    return Place(*(_point(each[0].tolist()) for each in (points, ahead, left, back)))


def _point(three: list[float]) -> Point:
    x, y, z = three
    return x, y, z


def rounded_nose(strand: Strand) -> float:
    """Length of the rounded root end of a strand, a trunk's nose, mm; 0 where it begins flat."""
    pieces = strand.body.side.pieces
    if pieces.kind[0] != BULGE:
        return 0.0
    return float(min(pieces.end[0], pieces.centre_x[0]) - pieces.begin[0])


def rounded_end(strand: Strand) -> float:
    """Length of the rounded tip of a strand, mm; 0 where it ends flat."""
    pieces = strand.body.side.pieces
    if pieces.kind[-1] != BULGE:
        return 0.0
    return float(pieces.end[-1] - max(pieces.begin[-1], pieces.centre_x[-1]))
