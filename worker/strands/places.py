"""Places along a curve with its turn there: where thousands of points lie beside it, without a search for each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.strands.path import Beside
from worker.strands.roots import Array
from worker.strands.vectors import cross, dot

MOST = 0.6
"""How far past the middle to the next place the nearest point of the curve may lie, over the distance to it."""


@dataclass(frozen=True)
class Places:
    """Stations (n,), points, unit vectors ahead and to the left, and curvature vectors (n, 3), in order; mm."""

    station: Array
    points: Array
    ahead: Array
    left: Array
    bend: Array

    def beside(self, points: Array) -> Beside:
        """From the place nearest to each point, on the circle that touches the curve there.

        With d the way ahead, c the curvature vector and p the point as seen from the place, the nearest point of the
        circle lies p.d / (1 - p.c) on, to the second order; what is left of p there is square to the curve.
        """
        along = [self.points[:, axis][None, :] - points[:, axis][:, None] for axis in range(3)]
        nearest = (along[0] * along[0] + along[1] * along[1] + along[2] * along[2]).argmin(axis=1)
        away = points - self.points[nearest]
        ahead, bend, left = self.ahead[nearest], self.bend[nearest], self.left[nearest]
        here, last = self.station[nearest], float(self.station[-1])
        step = dot(away, ahead) / np.maximum(1 - dot(away, bend), 0.2)
        room = MOST * float(np.diff(self.station).max())
        low, high = np.maximum(-here, -room), np.minimum(last - here, room)
        on = np.minimum(np.maximum(step, low), high)
        rest = away - on[:, None] * ahead - (on * on / 2)[:, None] * bend
        back = cross(ahead, left)
        # Sideways directions turn with the path: by the curvature, towards where it came from.
        lean_left, lean_back = on * dot(bend, left), on * dot(bend, back)
        over = dot(rest, ahead)
        past = np.where((here + on <= 0) | (here + on >= last), np.abs(over + on * dot(rest, bend)), 0.0)
        return Beside(here + on, dot(rest, left) - lean_left * over, dot(rest, back) - lean_back * over, past)
