"""Curved paths: cubic Hermite curves from knot to knot, measured by their length."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from worker.strands.frames import untwisted
from worker.strands.path import Beside, Point
from worker.strands.places import Places
from worker.strands.roots import Array
from worker.strands.steps import STEPS, Steps, share_of
from worker.strands.vectors import dot, norm, unit

PLACE = 4
"""Every so many of them is one of the places from which nearness is told quickly."""
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(4)


@dataclass(frozen=True)
class Knot:
    """A point that the path goes through and its direction there (any length).

    `before` and `after` are the lengths, mm, of the tangents with which the curve arrives and leaves; 0 takes the
    distance to the neighbouring knot, which makes an even curve.
    """

    point: Point
    direction: Point
    before: float = 0.0
    after: float = 0.0


@dataclass(frozen=True)
class _Table:
    """Nodes of the fixed table: parameter (knot number and share of the way), station mm, speed, point, direction."""

    parameter: Array
    station: Array
    speed: Array
    points: Array
    tangents: Array


@dataclass(frozen=True)
class HermitePath:
    """From knot to knot by cubic Hermite curves (two ends, two tangents); two knots are one curve.

    `left` is the direction to the left of the strand at its root, squared to the path there.
    """

    knots: tuple[Knot, ...]
    left: Point = (0.0, 1.0, 0.0)

    @cached_property
    def _cubics(self) -> Array:
        """Coefficients (curves, 4, 3) of point = c0 + u (c1 + u (c2 + u c3)), u from 0 to 1."""
        # Of single vectors numbers are several times quicker than arrays, and as exact.
        curves = []
        for here, there in zip(self.knots[:-1], self.knots[1:], strict=True):
            way = [e - b for b, e in zip(here.point, there.point, strict=True)]
            apart = _size(way)
            leave = _sized(here.direction, here.after or apart)
            arrive = _sized(there.direction, there.before or apart)
            ways = list(zip(way, leave, arrive, strict=True))
            second = [3 * w - 2 * le - a for w, le, a in ways]
            curves.append([here.point, leave, second, [le + a - 2 * w for w, le, a in ways]])
        return np.array(curves, dtype=np.float64)

    @cached_property
    def _at_steps(self) -> tuple[Array, Array, Array, Array]:
        """Points, their first and second derivatives, (curves, STEPS + 1, 3), and speeds, where each step ends."""
        points, rate, second = self._on_every(np.arange(STEPS + 1) / STEPS)
        return points, rate, second, norm(rate)

    def _on_every(self, u: Array) -> tuple[Array, Array, Array]:
        """As `_at`, of every curve at each `u`: (curves, n, 3)."""
        c0, c1, c2, c3 = (self._cubics[:, power, None, :] for power in range(4))
        u = u[None, :, None]
        return c0 + u * (c1 + u * (c2 + u * c3)), c1 + u * (2 * c2 + 3 * u * c3), 2 * c2 + 6 * u * c3

    def _of_nodes(self, part: Array) -> Array:
        """What `_at_steps` has of every node of the table: a knot belongs to the curve that begins there."""
        return np.concatenate([part[:, :-1].reshape(-1, *part.shape[2:]), part[-1, -1:]])

    @cached_property
    def _table(self) -> _Table:
        curves = len(self.knots) - 1
        u = (np.arange(STEPS) / STEPS)[:, None] + (0.5 + 0.5 * _NODES) / STEPS
        _, rate, _ = self._on_every(u.ravel())
        lengths = (norm(rate).reshape(-1, len(_NODES)) * _WEIGHTS).sum(axis=1) * (0.5 / STEPS)
        station = np.concatenate([[0.0], np.cumsum(lengths)])
        points, rate, _, speed = (self._of_nodes(part) for part in self._at_steps)
        return _Table(np.arange(curves * STEPS + 1) / STEPS, station, speed, points, rate / speed[:, None])

    def _at(self, curve: NDArray[np.int64], u: Array) -> tuple[Array, Array, Array]:
        """Points and their first and second derivatives by the parameter, (n, 3)."""
        # One curve needs no gathering of its coefficients, and most paths are one.
        one = len(self._cubics) == 1
        c0, c1, c2, c3 = self._cubics[0] if one else (self._cubics[curve, power] for power in range(4))
        u = u[:, None]
        return c0 + u * (c1 + u * (c2 + u * c3)), c1 + u * (2 * c2 + 3 * u * c3), 2 * c2 + 6 * u * c3

    @cached_property
    def length(self) -> float:
        """Length along the path, mm."""
        return float(self._table.station[-1])

    @property
    def straight(self) -> bool:
        """It turns, or might."""
        return False

    def step_at(self, station: Array) -> NDArray[np.int64]:
        """The step of the table that each station lies on: its node at or before."""
        return self._inner.searchsorted(station, side="right")

    def _place(self, station: Array) -> tuple[NDArray[np.int64], NDArray[np.int64], Array]:
        """The step of the table that each station lies on, the curve, and the share of the curve there."""
        step = self.step_at(station)
        return step, step // STEPS, share_of(self.steps.take(step, axis=1), station)

    @cached_property
    def _inner(self) -> Array:
        """Stations of all nodes but the first and the last."""
        return self._table.station[1:-1]

    @cached_property
    def steps(self) -> Array:
        """Of each step of the table, a column a step: station, length, slopes of the parameter at its two ends, and

        which of its curve's steps it is. At a knot the speed may jump; the step before it ends with its own curve's.
        """
        station = self._table.station
        first = np.arange(len(station) - 1) % STEPS
        run, speed = np.diff(station), self._at_steps[3]
        leave, arrive = (run * STEPS / part.ravel() for part in (speed[:, :-1], speed[:, 1:]))
        return np.stack([station[:-1], run, leave, arrive, first.astype(np.float64)])

    @cached_property
    def _lefts(self) -> Array:
        return untwisted(self._table.points, self._table.tangents, np.array(self.left))

    def frames(self, station: Array) -> tuple[Array, Array, Array]:
        """See Path."""
        return self.frames_of_steps.frames_at(self.step_at(station), station)

    @cached_property
    def frames_of_steps(self) -> Steps:
        """What frames are told from."""
        table, count = self._table, self.steps.shape[1]
        curve = np.arange(count) // STEPS
        return Steps(self.steps, curve, self._cubics, table.points[:-1], table.tangents[:-1], self._lefts[:-1])

    def curvature(self, station: Array) -> Array:
        """See Path: what is square to the path of the second derivative, over the speed squared."""
        _, curve, share = self._place(station)
        return self._bend(curve, share)

    def _bend(self, curve: NDArray[np.int64], share: Array) -> Array:
        _, rate, second = self._at(curve, share)
        return _curvature(rate, second)

    def subdivided(self, station: Array, sag: float, reach: float) -> Array:
        """See Path: a chord of length h on a turn of radius R sags by h^2 / 8R, and `reach` outside by more."""
        table = self._table
        middle = np.arange(len(table.station) - 1)
        turn = norm(self._bend(middle // STEPS, (middle % STEPS + 0.5) / STEPS))
        rate = np.sqrt(turn * (1 + turn * reach) / (8 * sag))
        measure = np.concatenate([[0.0], np.cumsum(rate * np.diff(table.station))])
        at = np.interp(station, table.station, measure)
        count = np.maximum(np.ceil(np.diff(at) - 1e-6), 1).astype(np.int64)
        part = np.repeat(np.arange(len(count)), count)
        share = (np.arange(len(part)) - np.repeat(np.cumsum(count) - count, count)) / count[part]
        between = np.interp(at[part] + share * np.diff(at)[part], measure, table.station)
        # A straight stretch has no measure to go by; the stations that were asked for stay as they were.
        return np.append(np.where(share == 0, station[part], between), station[-1])

    def nearest(self, points: Array) -> Array:
        """See Path: the nearest of 33 points on each curve, then Newton's rule, within two of their steps."""
        table = self._table
        nodes = np.arange(0, len(table.station), 2)
        along = [table.points[nodes, axis][None, :] - points[:, axis][:, None] for axis in range(3)]
        best = nodes[(along[0] ** 2 + along[1] ** 2 + along[2] ** 2).argmin(axis=1)]
        low = table.station[np.maximum(best - 4, 0)]
        high = table.station[np.minimum(best + 4, len(table.station) - 1)]
        station = table.station[best]
        for _ in range(3):
            _, curve, share = self._place(station)
            here, rate, second = self._at(curve, share)
            away = points - here
            turned = np.maximum(1 - dot(away, _curvature(rate, second)), 0.2)
            station = np.asarray(np.clip(station + dot(away, unit(rate)) / turned, low, high))
        return np.asarray(station)

    @cached_property
    def _places(self) -> Places:
        nodes, table = slice(None, None, PLACE), self._table
        bend = _curvature(*(self._of_nodes(part)[nodes] for part in self._at_steps[1:3]))
        return Places(table.station[nodes], table.points[nodes], table.tangents[nodes], self._lefts[nodes], bend)

    def beside(self, points: Array) -> Beside:
        """See Path."""
        return self._places.beside(points)

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {
            "length": self.length,
            "knots": [{"point": list(k.point), "direction": list(k.direction)} for k in self.knots],
        }


def _size(vector: Sequence[float]) -> float:
    x, y, z = vector
    return math.sqrt(x * x + y * y + z * z)


def _sized(vector: Sequence[float], size: float) -> list[float]:
    """The vector, made so long."""
    own = _size(vector)
    return [part / own * size for part in vector]


def _curvature(rate: Array, second: Array) -> Array:
    """Curvature vectors of a curve with these derivatives by its parameter, (n, 3)."""
    squares = dot(rate, rate)[:, None]
    return np.asarray((second - dot(second, rate)[:, None] / squares * rate) / squares)
