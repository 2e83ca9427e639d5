"""Where points lie beside a path of straight stretches and arcs in one plane: in closed form, without a frame for each.

Such a path has no corners, so its point nearest to any other lies square to it on one of the stretches, or is one of
the path's two ends. Which stretches have a point square to them, and how far off, takes no angle; the angle is taken
once, on the nearest of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.strands.path import Beside
from worker.strands.roots import Array
from worker.strands.vectors import dot

SQUARE = 1e-9
"""How far past the end of a stretch, mm, a point still counts as square to it: none may fall between two."""


@dataclass(frozen=True)
class Arcs:
    """The stretches' ends: `begin`, mm, and `turned`, radians, (k + 1,), and `corners`, (k + 1, 2), seen from `start`

    along the two `axes`, unit vectors ahead and down at the begin; `bend`, 1/mm, of each stretch, (k,). `left` is
    square to both axes.
    """

    begin: Array
    turned: Array
    corners: Array
    bend: Array
    start: Array
    axes: Array
    left: Array

    def beside(self, points: Array) -> Beside:
        """See Path; exact."""
        seen = points - self.start
        ahead, down = dot(seen, self.axes[0]), dot(seen, self.axes[1])
        station, past = np.zeros(len(points)), np.zeros(len(points))
        back, least = np.full(len(points), np.inf), np.full(len(points), np.inf)
        along, across, arc = np.ones(len(points)), np.zeros(len(points)), np.zeros(len(points), dtype=np.int64)
        for at, bend in enumerate(self.bend.tolist()):
            told = self._on_arc(at, ahead, down) if bend else self._on_line(at, ahead, down)
            square, up, first, second = told
            nearer = square & (up * up < least)
            least, back = np.where(nearer, up * up, least), np.where(nearer, up, back)
            along, across = np.where(nearer, first, along), np.where(nearer, second, across)
            arc = np.where(nearer, at, arc)
        station = self._station(arc, along, across)
        for end in (0, -1):
            cosine, sine = math.cos(self.turned[end]), math.sin(self.turned[end])
            x, y = ahead - self.corners[end, 0], down - self.corners[end, 1]
            apart = x * x + y * y
            nearer = apart < least
            least, station = np.where(nearer, apart, least), np.where(nearer, self.begin[end], station)
            back = np.where(nearer, sine * x - cosine * y, back)
            past = np.where(nearer, np.abs(cosine * x + sine * y), past)
        return Beside(station, dot(seen, self.left), back, past)

    def _on_line(self, at: int, ahead: Array, down: Array) -> tuple[NDArray[np.bool_], Array, Array, Array]:
        """Whether each point is square to a straight stretch, how far to its back, how far along it, and nothing."""
        cosine, sine = math.cos(self.turned[at]), math.sin(self.turned[at])
        x, y = ahead - self.corners[at, 0], down - self.corners[at, 1]
        run = cosine * x + sine * y
        square = (run >= -SQUARE) & (run <= self.begin[at + 1] - self.begin[at] + SQUARE)
        return square, sine * x - cosine * y, run, np.zeros(len(x))

    def _on_arc(self, at: int, ahead: Array, down: Array) -> tuple[NDArray[np.bool_], Array, Array, Array]:
        """The same of an arc; then the point as seen from the middle of the turn: to the arc's middle, and across."""
        bend, angle = float(self.bend[at]), float(self.turned[at])
        half = (float(self.turned[at + 1]) - angle) / 2
        x = ahead - self.corners[at, 0] + math.sin(angle) / bend
        y = down - self.corners[at, 1] - math.cos(angle) / bend
        side = math.copysign(1.0, bend)
        out_ahead, out_down = side * math.sin(angle + half), -side * math.cos(angle + half)
        along, across = out_ahead * x + out_down * y, out_ahead * y - out_down * x
        # The sine of the angle past the nearer end of the arc, times the distance: an arc turns less than all around.
        square = np.abs(across) * math.cos(half) - along * math.sin(abs(half)) <= SQUARE
        return square, side * np.sqrt(x * x + y * y) - 1 / bend, along, across

    def _station(self, at: NDArray[np.int64], along: Array, across: Array) -> Array:
        """Station of the nearest place on stretch `at`, (n,), of what was told of it."""
        bend, length = self.bend[at], np.diff(self.begin)[at]
        turns = bend != 0
        angle = np.arctan2(np.where(turns, across, 0.0), np.where(turns, along, 1.0))
        run = np.where(turns, length / 2 + angle / np.where(turns, bend, 1.0), along)
        return np.asarray(self.begin[at] + np.minimum(np.maximum(run, 0.0), length))
