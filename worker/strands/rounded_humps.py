"""Humps with straight tops and rounded edges: barrels, cones, ribs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from worker.strands.humps import Curves, Index, carried
from worker.strands.roots import Array


@dataclass(frozen=True)
class RoundedHumps:
    """Humps with a convex top of straight stretches and upright ends, edges rounded: barrels, cones, ribs.

    `x` and `y`, shape (n, k), are the centres of rounding of the top's corners, from front to rear; the outline lies
    `edge` (n,) outside of them.
    """

    x: Array
    y: Array
    edge: Array

    @cached_property
    def left(self) -> Array:
        """Where each hump begins: its upright front face."""
        return self.x[:, 0] - self.edge

    @cached_property
    def right(self) -> Array:
        """Where each hump ends: its upright rear face."""
        return self.x[:, -1] + self.edge

    @cached_property
    def crest_x(self) -> Array:
        """Where each hump is highest (midway where its top is level)."""
        highest = self.y.max(axis=1, keepdims=True)
        level = np.abs(self.y - highest) < 1e-12
        return np.asarray(np.where(level, self.x, 0.0).sum(axis=1) / level.sum(axis=1))

    @cached_property
    def crest_y(self) -> Array:
        """Greatest height of each hump."""
        return np.asarray(self.y.max(axis=1) + self.edge)

    @cached_property
    def normals(self) -> tuple[Array, Array]:
        """Outward normals of the straight stretches, (n, k - 1) each."""
        along, up = np.diff(self.x, axis=1), np.diff(self.y, axis=1)
        length = np.hypot(along, up)
        return -up / length, along / length

    def _place(self, which: Index, x: Array, reach: Array) -> tuple[Index, Array, Array]:
        """The part under a ball centred at `x` (0 first corner, 1 first stretch, ...), and the normals."""
        normal_x, normal_y = (part[which] for part in self.normals)
        corners, lean, at = self.x[which], reach[:, None] * normal_x, x[:, None]
        past = (at > corners[:, :-1] + lean).sum(axis=1) + (at > corners[:, 1:] + lean).sum(axis=1)
        return past, normal_x, normal_y

    def centre_height(self, which: Index, x: Array, radius: float) -> Array:
        reach = self.edge[which] + radius
        part, normal_x, normal_y = self._place(which, x, reach)
        row, corner = np.arange(len(x)), part // 2
        stretch = np.minimum(corner, normal_x.shape[1] - 1)
        from_x, from_y = self.x[which, corner], self.y[which, corner]
        arc = from_y + np.sqrt(np.maximum(reach * reach - (x - from_x) ** 2, 0.0))
        nx, ny = normal_x[row, stretch], normal_y[row, stretch]
        line = from_y + reach * ny - (x - from_x - reach * nx) * nx / ny
        height = np.where(part % 2 == 0, arc, line)
        return carried(height, x, self.x[which, 0] - reach, self.x[which, -1] + reach)

    def touch(self, which: Index, x: Array, y: Array, radius: float) -> Array:
        edge = self.edge[which]
        reach = edge + radius
        part, normal_x, _ = self._place(which, x, reach)
        row, corner = np.arange(len(x)), part // 2
        stretch = np.minimum(corner, normal_x.shape[1] - 1)
        from_x = self.x[which, corner]
        on_corner = from_x + np.clip(x - from_x, -reach, reach) * (edge / reach)
        return np.asarray(np.where(part % 2 == 0, on_corner, x - radius * normal_x[row, stretch]))

    def meeting(self, radius: float) -> Array | None:
        return None

    def curves(self) -> Curves:
        """Corner, stretch, corner, ... of every hump."""
        count, corners = self.x.shape
        normal_x, normal_y = self.normals
        edge = self.edge[:, None]
        begin, end = self.x[:, :-1] + edge * normal_x, self.x[:, 1:] + edge * normal_x
        height = self.y[:, :-1] + edge * normal_y
        zero = np.zeros_like(begin)

        def woven(of_corners: Array, of_stretches: Array) -> Array:
            parts = np.empty((count, 2 * corners - 1))
            parts[:, 0::2], parts[:, 1::2] = of_corners, of_stretches
            return parts.ravel()

        every = np.broadcast_to(edge, self.x.shape)
        return Curves(
            np.repeat(np.arange(count), 2 * corners - 1),
            woven(np.concatenate([self.left[:, None], end], axis=1), begin),
            woven(np.concatenate([begin, self.right[:, None]], axis=1), end),
            woven(self.x, begin),
            woven(self.y, height),
            woven(every, zero),
            woven(every, zero),
            woven(np.zeros_like(self.x), -normal_x / normal_y),
        )
