"""Paths of straight stretches and arcs in one plane, joined smoothly: a shrimp's back. All of it in closed form."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from worker.strands.arcs import Arcs
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Beside, Point
from worker.strands.roots import Array
from worker.strands.vectors import cross, dot

FINEST = 45.0
"""Greatest part of an arc that one cubic stands for, degrees."""
SAME = 1e-4
"""Stations nearer than this, mm, are one: the mesh is rounded to 1e-5 mm."""


@dataclass(frozen=True)
class Stretch:
    """`length` mm that turn by `turn` degrees, under a full turn: down, to the belly, where that is positive."""

    length: float
    turn: float = 0.0


@dataclass(frozen=True)
class BentPath:
    """Stretches one after the other, from `start`, which the path leaves `ahead`, in the plane square to `left`.

    `ahead` and `left` are unit vectors, square to each other. `left` is to the left all along.
    """

    stretches: tuple[Stretch, ...]
    start: Point = (0.0, 0.0, 0.0)
    ahead: Point = (1.0, 0.0, 0.0)
    left: Point = (0.0, 1.0, 0.0)

    @cached_property
    def length(self) -> float:
        """Length along the path, mm."""
        return float(self._begin[-1])

    @property
    def straight(self) -> bool:
        """It turns."""
        return False

    @cached_property
    def _begin(self) -> Array:
        """Stations at which stretches begin, and the end."""
        return np.concatenate([[0.0], np.cumsum([stretch.length for stretch in self.stretches])])

    @cached_property
    def _turned(self) -> Array:
        """By how much the path is turned where each stretch begins, radians, and at its end."""
        return np.concatenate([[0.0], np.cumsum([math.radians(stretch.turn) for stretch in self.stretches])])

    @cached_property
    def _bend(self) -> Array:
        """Signed curvature of each stretch, 1/mm."""
        return np.diff(self._turned) / np.diff(self._begin)

    @cached_property
    def _corners(self) -> Array:
        """Where each stretch begins, (n, 2): along `ahead`, and down."""
        corners = [np.zeros(2)]
        for at, stretch in enumerate(self.stretches[:-1]):
            corners.append(corners[-1] + self._way(np.array([at]), np.array([stretch.length]))[0])
        return np.array(corners)

    def _way(self, which: NDArray[np.int64], run: Array) -> Array:
        """From where the stretches `which` begin to `run` mm on, (n, 2): an arc's chord and its mean direction."""
        half = self._bend[which] * run / 2
        chord = run * np.where(np.abs(half) < 1e-9, 1.0, np.sin(half) / np.where(half == 0, 1.0, half))
        angle = self._turned[which] + half
        return np.stack([chord * np.cos(angle), chord * np.sin(angle)], axis=1)

    def _place(self, station: Array) -> tuple[NDArray[np.int64], Array]:
        """Which stretch each station is on, and how far."""
        which = np.clip(np.searchsorted(self._begin, station, side="right") - 1, 0, len(self.stretches) - 1)
        return which, station - self._begin[which]

    @cached_property
    def _axes(self) -> Array:
        """Unit vectors ahead and down."""
        ahead, left = np.array(self.ahead), np.array(self.left)
        return np.stack([ahead, -cross(ahead, left)])

    def _in_space(self, flat: Array) -> Array:
        return np.asarray(flat[:, :1] * self._axes[0] + flat[:, 1:] * self._axes[1])

    def _angle(self, station: Array) -> tuple[Array, Array]:
        which, run = self._place(station)
        return self._turned[which] + self._bend[which] * run, self._bend[which]

    def frames(self, station: Array) -> tuple[Array, Array, Array]:
        """See Path."""
        which, run = self._place(station)
        points = np.array(self.start) + self._in_space(self._corners[which] + self._way(which, run))
        angle = self._turned[which] + self._bend[which] * run
        back = self._in_space(np.stack([np.sin(angle), -np.cos(angle)], axis=1))
        return points, np.broadcast_to(np.array(self.left), points.shape), back

    def curvature(self, station: Array) -> Array:
        """See Path."""
        angle, bend = self._angle(station)
        return self._in_space(bend[:, None] * np.stack([-np.sin(angle), np.cos(angle)], axis=1))

    def subdivided(self, station: Array, sag: float, reach: float) -> Array:
        """See Path: a chord of length h on a turn of radius R sags by h^2 / 8R, and `reach` outside by more."""
        bend = np.abs(self._bend)
        rate = np.sqrt(bend * (1 + bend * reach) / (8 * sag))
        inner = self._begin[1:-1]
        # A chord over the end of a stretch is counted on both sides, so every station before it stays as it is.
        inner = inner[(inner > station[0] + 1e-3) & (inner < station[-1] - 1e-3)]
        # One that is there but for a rounding is not put there twice: a face would be walked over to and fro.
        apart = np.abs(inner[:, None] - station[None, :]).min(axis=1)
        station = np.union1d(station, inner[apart >= SAME])
        middle, _ = self._place((station[1:] + station[:-1]) / 2)
        count = np.maximum(np.ceil(rate[middle] * np.diff(station) - 1e-6), 1).astype(np.int64)
        part = np.repeat(np.arange(len(count)), count)
        share = (np.arange(len(part)) - np.repeat(np.cumsum(count) - count, count)) / count[part]
        between = station[part] + share * np.diff(station)[part]
        return np.append(np.where(share == 0, station[part], between), station[-1])

    def nearest(self, points: Array) -> Array:
        """See Path: the nearest place on each stretch, and the nearest of those."""
        away = points - np.array(self.start)
        flat = np.stack([dot(away, np.broadcast_to(axis, away.shape)) for axis in self._axes], axis=1)
        best, least = np.zeros(len(points)), np.full(len(points), np.inf)
        for at in range(len(self.stretches)):
            run = self._nearest_on(at, flat - self._corners[at])
            which = np.full(len(points), at)
            rest = flat - self._corners[at] - self._way(which, run)
            apart = rest[:, 0] * rest[:, 0] + rest[:, 1] * rest[:, 1]
            best = np.where(apart < least, self._begin[at] + run, best)
            least = np.minimum(least, apart)
        return np.asarray(best)

    @cached_property
    def _arcs(self) -> Arcs:
        end = self._corners[-1] + self._way(np.array([len(self.stretches) - 1]), np.diff(self._begin)[-1:])[0]
        corners = np.concatenate([self._corners, end[None]])
        flat = self._begin, self._turned, corners, self._bend
        return Arcs(*flat, np.array(self.start), self._axes, np.array(self.left))

    def beside(self, points: Array) -> Beside:
        """See Path; exact."""
        return self._arcs.beside(points)

    def _nearest_on(self, at: int, flat: Array) -> Array:
        """How far along stretch `at` its nearest place is, seen from its begin."""
        bend, angle, length = float(self._bend[at]), float(self._turned[at]), self.stretches[at].length
        cosine, sine = math.cos(angle), math.sin(angle)
        if bend == 0:
            return np.asarray(np.clip(cosine * flat[:, 0] + sine * flat[:, 1], 0.0, length))
        # Seen from the middle of the turn; the angle is taken from the middle of the arc, so that it never jumps on it.
        ahead, down = flat[:, 0] + sine / bend, flat[:, 1] - cosine / bend
        side, half = math.copysign(1.0, bend), angle + bend * length / 2
        out_ahead, out_down = side * math.sin(half), -side * math.cos(half)
        across = out_ahead * down - out_down * ahead
        turned = np.arctan2(across, out_ahead * ahead + out_down * down)
        return np.asarray(np.clip(length / 2 + turned / bend, 0.0, length))

    def as_curve(self) -> HermitePath:
        """The same as cubics from knot to knot, within 5e-6 of the arcs' radius."""
        stations = [np.array([0.0])]
        for at, stretch in enumerate(self.stretches):
            parts = max(1, math.ceil(abs(stretch.turn) / FINEST - 1e-9))
            stations.append(self._begin[at] + stretch.length * np.arange(1, parts + 1) / parts)
        station = np.concatenate(stations)
        points, left, back = self.frames(station)
        ahead = cross(left, back)
        middle = (station[1:] + station[:-1]) / 2
        turn = np.abs(self._bend[self._place(middle)[0]]) * np.diff(station)
        # The tangent with which a cubic runs closest to a circle's arc: 4 tan(angle / 4) radii.
        handles = [
            run * (math.tan(t / 4) * 4 / t if t > 0 else 1.0) for run, t in zip(np.diff(station), turn, strict=True)
        ]
        knots = [
            Knot(_three(point), _three(way), float(before), float(after))
            for point, way, before, after in zip(points, ahead, [0.0, *handles], [*handles, 0.0], strict=True)
        ]
        return HermitePath(tuple(knots), self.left)

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {
            "length": self.length,
            "start": list(self.start),
            "direction": list(self.ahead),
            "stretches": [{"length": stretch.length, "turn": stretch.turn} for stretch in self.stretches],
        }


def _three(row: Array) -> Point:
    x, y, z = row.tolist()
    return x, y, z
