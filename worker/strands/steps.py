"""The steps of curved paths' tables, of one path or of many: what their frames are told from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from worker.strands.frames import carried
from worker.strands.roots import Array
from worker.strands.vectors import cross, unit

STEPS = 64
"""Steps of the table between two knots; its lengths are exact to about 1e-9 of the curve."""


@dataclass(frozen=True)
class Steps:
    """Steps of tables, (5, n) as HermitePath.steps has them, the curve that each lies on, and the curves' cubics.

    Point, direction and direction to the left where each begins, (n, 3).
    """

    steps: Array
    curve: NDArray[np.int64]
    cubics: Array
    points: Array
    tangents: Array
    lefts: Array

    def frames_at(self, step: NDArray[np.int64], station: Array) -> tuple[Array, Array, Array]:
        """Frames at stations on these steps; see Path."""
        u = share_of(self.steps.take(step, axis=1), station)[:, None]
        one = len(self.cubics) == 1
        c0, c1, c2, c3 = self.cubics[0] if one else self._by_power.take(self.curve[step], axis=1)
        points, rate = c0 + u * (c1 + u * (c2 + u * c3)), c1 + u * (2 * c2 + 3 * u * c3)
        tangents = unit(rate)
        left = unit(carried(self.lefts[step], self.points[step], self.tangents[step], points, tangents))
        return points, left, cross(tangents, left)

    @cached_property
    def _by_power(self) -> Array:
        return np.ascontiguousarray(self.cubics.transpose(1, 0, 2))


def share_of(steps: Array, station: Array) -> Array:
    """Share of its curve at each station: between two nodes the parameter is a cubic Hermite curve of the station.

    Its slope is one over the speed.
    """
    begin, run, leave, arrive, first = steps
    t = np.minimum(np.maximum((station - begin) / run, 0.0), 1.0)
    rest = 1 - t
    step = t * t * (3 - 2 * t) + leave * t * rest * rest - arrive * t * t * rest
    return np.asarray((first + step) / STEPS)
