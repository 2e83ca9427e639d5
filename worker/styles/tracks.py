"""Paths as a maker draws them: so far ahead, then round by so many degrees. Straight stretches and arcs, joined."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from worker.strands.hermite import Knot
from worker.strands.path import Point
from worker.styles.directions import beyond

FINEST = 45.0
"""Greatest part of an arc that one cubic runs through, degrees: it stays within 5e-6 of the radius on the circle."""


@dataclass(frozen=True)
class Track:
    """Knots so far, in the plane of `ahead` and `aside` (unit vectors, square to each other).

    It heads `turned` degrees from `ahead` towards `aside`.
    """

    knots: tuple[Knot, ...]
    ahead: Point
    aside: Point
    turned: float = 0.0

    @classmethod
    def from_point(cls, begin: Point, ahead: Point, aside: Point) -> Track:
        """A track that begins there."""
        return cls((Knot(begin, ahead),), ahead, aside)

    @property
    def heading(self) -> Point:
        """Unit vector in which the track would go on."""
        return self._way(self.turned)

    @property
    def end(self) -> Point:
        """Where the track is."""
        return self.knots[-1].point

    def straight(self, length: float) -> Track:
        """`length` mm on."""
        return self._on(beyond(self.end, self.heading, length), self.turned, length)

    def arc(self, angle: float, radius: float) -> Track:
        """Round by `angle` degrees, positive towards `aside`, on `radius` mm."""
        track, steps = self, max(1, math.ceil(abs(angle) / FINEST - 1e-9))
        side = math.copysign(1.0, angle)
        # The tangent with which a cubic runs closest to a circle's arc: 4 tan(angle / 4) radii.
        handle = 4 * math.tan(math.radians(abs(angle) / steps) / 4) * radius
        middle = beyond(self.end, self._way(self.turned + 90 * side), radius)
        for step in range(1, steps + 1):
            turned = self.turned + angle * step / steps
            track = track._on(beyond(middle, self._way(turned - 90 * side), radius), turned, handle)
        return track

    def _way(self, turned: float) -> Point:
        turn = math.radians(turned)
        return beyond(beyond((0.0, 0.0, 0.0), self.ahead, math.cos(turn)), self.aside, math.sin(turn))

    def _on(self, point: Point, turned: float, handle: float) -> Track:
        *before, last = self.knots
        knots = (*before, replace(last, after=handle), Knot(point, self._way(turned), handle))
        return replace(self, knots=knots, turned=turned)
