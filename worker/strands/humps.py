"""Humps: the convex half-outlines that relief is made of, many at once, and the ball that rolls over them.

A hump knows its height, where the centre of a ball of radius r runs that rolls over it (`centre_height`), and where
that ball touches it (`touch`). All arrays are one element a hump; distances in millimetres along the strand (x) and
from its centre line (y).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from worker.strands.meeting import meeting_of_ellipses
from worker.strands.roots import Array

Index = NDArray[np.int64]

STEEP = 1e6
"""Slope with which a ball's path is carried on beyond a hump's edge, so that it stays continuous and falling."""


@dataclass(frozen=True)
class Curves:
    """Pieces of humps: elliptic arcs (`half_length` > 0) and straight lines (`half_length` 0), unclipped."""

    hump: Index
    begin: Array
    end: Array
    centre_x: Array
    centre_y: Array
    half_length: Array
    half_height: Array
    slope: Array


class Humps(Protocol):
    """What `closing` needs of a row of humps."""

    @property
    def crest_x(self) -> Array:
        """Where each hump is highest."""
        ...

    @property
    def crest_y(self) -> Array:
        """Greatest height of each hump."""
        ...

    @property
    def left(self) -> Array:
        """Where each hump begins."""
        ...

    @property
    def right(self) -> Array:
        """Where each hump ends."""
        ...

    def centre_height(self, which: Index, x: Array, radius: float) -> Array:
        """Height of the centre of a ball of `radius` that rests on hump `which` with its centre at `x`."""
        ...

    def touch(self, which: Index, x: Array, y: Array, radius: float) -> Array:
        """Where along x that ball, its centre at (x, y), touches the hump."""
        ...

    def meeting(self, radius: float) -> Array | None:
        """Along x, the centre of the ball that rests on each hump and the next; None where it has to be searched."""
        ...

    def curves(self) -> Curves:
        """The humps' own outlines, in order."""
        ...


MOST_STEPS, SETTLED = 7, 1e-9
"""Newton's rule doubles the digits at each step: after one shorter than 1e-9 there is nothing left to gain."""


def _within_one(cosine: Array) -> Array:
    # np.clip does the same at five times the cost on arrays as short as ours.
    return np.minimum(np.maximum(cosine, -1.0), 1.0)


def carried(height: Array, x: Array, low: Array, high: Array) -> Array:
    """A ball's path, falling steeply before `low` and beyond `high`, where the hump ends."""
    beyond = np.maximum(low - x, 0.0) + np.maximum(x - high, 0.0)
    return height - STEEP * beyond


@dataclass(frozen=True)
class EllipticHumps:
    """Half-ellipses on the centre line: `half_length` along x, `half_height` from it. Equal halves make round beads."""

    crest_x: Array
    half_length: Array
    crest_y: Array

    @cached_property
    def left(self) -> Array:
        """Where each hump begins."""
        return self.crest_x - self.half_length

    @cached_property
    def right(self) -> Array:
        """Where each hump ends."""
        return self.crest_x + self.half_length

    @cached_property
    def _circles(self) -> bool:
        return bool(np.all(self.half_length == self.crest_y))

    def _normal(self, which: Index, x: Array, radius: float) -> tuple[Array, Array, Array]:
        """Cosine and sine of the normal at the touching point, and the support there, for a ball's centre at `x`."""
        a, b, away = self.half_length[which], self.crest_y[which], x - self.crest_x[which]
        cosine = _within_one(away / (a + radius))
        if self._circles:
            return cosine, np.sqrt(1.0 - cosine * cosine), b
        # With u = cos(eccentric angle) the ball's centre is at X = u (a + r b / q), q^2 = a^2 - (a^2 - b^2) u^2: rising
        # and bent one way on either side, so that Newton's rule settles from anywhere. In the cosine of the normal it
        # does not: for flat humps X rises thirty times as fast in the middle as at the ends.
        a_squared, squares = a * a, a * a - b * b
        share = cosine
        for _ in range(MOST_STEPS):
            root = np.sqrt(a_squared - squares * share * share)
            miss = share * (a + radius * b / root) - away
            nearer = _within_one(share - miss / (a + radius * b * a_squared / (root * root * root)))
            step, share = float(np.abs(nearer - share).max(initial=0.0)), nearer
            if step < SETTLED:
                break
        root = np.sqrt(a_squared - squares * share * share)
        cosine, support = _within_one(share * b / root), a * b / root
        return cosine, np.sqrt(1.0 - cosine * cosine), support

    def centre_height(self, which: Index, x: Array, radius: float) -> Array:
        reach = self.half_length[which] + radius
        _, sine, support = self._normal(which, x, radius)
        b = self.crest_y[which]
        middle = self.crest_x[which]
        return carried(sine * (b * b / support + radius), x, middle - reach, middle + reach)

    def touch(self, which: Index, x: Array, y: Array, radius: float) -> Array:
        cosine, _, support = self._normal(which, x, radius)
        a = self.half_length[which]
        return self.crest_x[which] + cosine * a * a / support

    def meeting(self, radius: float) -> Array | None:
        return meeting_of_ellipses(self.crest_x, self.half_length, self.crest_y, radius)

    def curves(self) -> Curves:
        count = len(self.crest_x)
        zero = np.zeros(count)
        return Curves(np.arange(count), self.left, self.right, self.crest_x, zero, self.half_length, self.crest_y, zero)
