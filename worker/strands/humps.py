"""Humps: the convex half-outlines that relief is made of, many at once, and the ball that rolls over them.

A hump knows its height, where the centre of a ball of radius r runs that rolls over it (`centre_height`), and where
that ball touches it (`touch`). All arrays are one element a hump; distances in millimetres along the strand (x) and
from its centre line (y).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

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

    def curves(self) -> Curves:
        """The humps' own outlines, in order."""
        ...


def _carried(height: Array, x: Array, low: Array, high: Array) -> Array:
    beyond = np.maximum(low - x, 0.0) + np.maximum(x - high, 0.0)
    return height - STEEP * beyond


@dataclass(frozen=True)
class EllipticHumps:
    """Half-ellipses on the centre line: `half_length` along x, `half_height` from it. Equal halves make round beads."""

    crest_x: Array
    half_length: Array
    crest_y: Array

    @property
    def left(self) -> Array:
        """Where each hump begins."""
        return self.crest_x - self.half_length

    @property
    def right(self) -> Array:
        """Where each hump ends."""
        return self.crest_x + self.half_length

    def _normal(self, which: Index, x: Array, radius: float) -> tuple[Array, Array, Array]:
        """Cosine and sine of the normal at the touching point, and the support there, for a ball's centre at `x`."""
        a, b, away = self.half_length[which], self.crest_y[which], x - self.crest_x[which]
        squares = a * a - b * b
        cosine = np.clip(away / (a + radius), -1.0, 1.0)
        if bool(np.any(squares != 0.0)):
            # X = cos (a^2 / h + r) with h^2 = b^2 + (a^2 - b^2) cos^2: rising in cos, so Newton's rule settles fast.
            for _ in range(7):
                support = np.sqrt(b * b + squares * cosine * cosine)
                miss = cosine * (a * a / support + radius) - away
                cosine = np.clip(cosine - miss / (a * a * b * b / (support * support * support) + radius), -1.0, 1.0)
        support = np.sqrt(b * b + squares * cosine * cosine)
        return cosine, np.sqrt(np.maximum(1.0 - cosine * cosine, 0.0)), support

    def centre_height(self, which: Index, x: Array, radius: float) -> Array:
        reach = self.half_length[which] + radius
        _, sine, support = self._normal(which, x, radius)
        b = self.crest_y[which]
        middle = self.crest_x[which]
        return _carried(sine * (b * b / support + radius), x, middle - reach, middle + reach)

    def touch(self, which: Index, x: Array, y: Array, radius: float) -> Array:
        cosine, _, support = self._normal(which, x, radius)
        a = self.half_length[which]
        return self.crest_x[which] + cosine * a * a / support

    def curves(self) -> Curves:
        count = len(self.crest_x)
        zero = np.zeros(count)
        return Curves(np.arange(count), self.left, self.right, self.crest_x, zero, self.half_length, self.crest_y, zero)


@dataclass(frozen=True)
class RoundedHumps:
    """Humps with a straight top from (`front_x`, `front_y`) to (`rear_x`, `rear_y`) and upright ends, edges rounded.

    The four coordinates are those of the edges' centres of rounding: the outline lies `edge` outside of them.
    """

    front_x: Array
    front_y: Array
    rear_x: Array
    rear_y: Array
    edge: Array

    @property
    def left(self) -> Array:
        """Where each hump begins: its upright front face."""
        return self.front_x - self.edge

    @property
    def right(self) -> Array:
        """Where each hump ends: its upright rear face."""
        return self.rear_x + self.edge

    @property
    def crest_x(self) -> Array:
        """Where each hump is highest (its middle where its top is level)."""
        level = (self.front_x + self.rear_x) / 2
        return np.where(
            self.front_y > self.rear_y, self.front_x, np.where(self.front_y < self.rear_y, self.rear_x, level)
        )

    @property
    def crest_y(self) -> Array:
        """Greatest height of each hump."""
        return np.maximum(self.front_y, self.rear_y) + self.edge

    def _top_normal(self) -> tuple[Array, Array]:
        along, up = self.rear_x - self.front_x, self.rear_y - self.front_y
        length = np.hypot(along, up)
        return -up / length, along / length

    def centre_height(self, which: Index, x: Array, radius: float) -> Array:
        reach = self.edge[which] + radius
        normal_x, normal_y = (part[which] for part in self._top_normal())
        front_x, rear_x = self.front_x[which], self.rear_x[which]
        front_y, rear_y = self.front_y[which], self.rear_y[which]
        arc_front = front_y + np.sqrt(np.maximum(reach * reach - (x - front_x) ** 2, 0.0))
        arc_rear = rear_y + np.sqrt(np.maximum(reach * reach - (x - rear_x) ** 2, 0.0))
        slope = -normal_x / normal_y
        line = front_y + reach * normal_y + (x - front_x - reach * normal_x) * slope
        height = np.where(
            x < front_x + reach * normal_x, arc_front, np.where(x > rear_x + reach * normal_x, arc_rear, line)
        )
        return _carried(height, x, front_x - reach, rear_x + reach)

    def touch(self, which: Index, x: Array, y: Array, radius: float) -> Array:
        edge = self.edge[which]
        reach = edge + radius
        normal_x, _ = (part[which] for part in self._top_normal())
        front_x, rear_x = self.front_x[which], self.rear_x[which]
        shrink = edge / reach
        on_front = front_x + (np.maximum(x, front_x - reach) - front_x) * shrink
        on_rear = rear_x + (np.minimum(x, rear_x + reach) - rear_x) * shrink
        return np.where(
            x < front_x + reach * normal_x,
            on_front,
            np.where(x > rear_x + reach * normal_x, on_rear, x - radius * normal_x),
        )

    def curves(self) -> Curves:
        count = len(self.front_x)
        normal_x, normal_y = self._top_normal()
        top_begin, top_end = self.front_x + self.edge * normal_x, self.rear_x + self.edge * normal_x
        top_y = self.front_y + self.edge * normal_y
        zero = np.zeros(count)

        def three(front: Array, top: Array, rear: Array) -> Array:
            return np.stack([front, top, rear], axis=1).ravel()

        return Curves(
            np.repeat(np.arange(count), 3),
            three(self.left, top_begin, top_end),
            three(top_begin, top_end, self.right),
            three(self.front_x, top_begin, self.rear_x),
            three(self.front_y, top_y, self.rear_y),
            three(self.edge, zero, self.edge),
            three(self.edge, zero, self.edge),
            three(zero, -normal_x / normal_y, zero),
        )
