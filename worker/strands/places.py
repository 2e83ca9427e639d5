"""Places along a curve with its turn there: where thousands of points lie beside it, without a search for each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from worker.strands.path import Beside
from worker.strands.roots import Array

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
        # One axis after the other, and all that a place has in one gathering: NumPy is slow at rows of three.
        x, y, z = (np.ascontiguousarray(points[:, axis]) for axis in range(3))
        px, py, pz = self._columns[1:4]
        to_x, to_y, to_z = px - x[:, None], py - y[:, None], pz - z[:, None]
        nearest = (to_x * to_x + to_y * to_y + to_z * to_z).argmin(axis=1)
        here, px, py, pz, ax, ay, az, lx, ly, lz, bx, by, bz = self._columns.take(nearest, axis=1)
        x, y, z = x - px, y - py, z - pz
        last = float(self.station[-1])
        step = (x * ax + y * ay + z * az) / np.maximum(1 - (x * bx + y * by + z * bz), 0.2)
        room = self._room
        on = np.minimum(np.maximum(step, np.maximum(-here, -room)), np.minimum(last - here, room))
        half = on * on / 2
        x, y, z = x - on * ax - half * bx, y - on * ay - half * by, z - on * az - half * bz
        ux, uy, uz = ay * lz - az * ly, az * lx - ax * lz, ax * ly - ay * lx  # to the back
        # Sideways directions turn with the path: by the curvature, towards where it came from.
        lean_left, lean_back = on * (bx * lx + by * ly + bz * lz), on * (bx * ux + by * uy + bz * uz)
        over = x * ax + y * ay + z * az
        at = here + on
        past = np.where((at <= 0) | (at >= last), np.abs(over + on * (x * bx + y * by + z * bz)), 0.0)
        left, back = x * lx + y * ly + z * lz, x * ux + y * uy + z * uz
        return Beside(at, left - lean_left * over, back - lean_back * over, past)

    @cached_property
    def _columns(self) -> Array:
        """Station, point, ways ahead and to the left and curvature of each place, (13, n)."""
        return np.concatenate([self.station[None], self.points.T, self.ahead.T, self.left.T, self.bend.T])

    @cached_property
    def _room(self) -> float:
        """How far past its place the nearest point may lie, mm."""
        return MOST * float(np.diff(self.station).max())
