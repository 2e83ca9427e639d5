"""The parting face as a height field: flat at 0 beyond a patch around each cavity, plane triangles within it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from worker.mould.columns import Columns, Mask
from worker.mould.layout import Placed
from worker.strands.roots import Array


@dataclass(frozen=True)
class Face:
    """In the cavity's own frame: node (i, j) stands at x = x0 + i cell, y = y0 + j cell, `heights[i, j]` mm over z = 0.

    The outermost nodes are at 0. Each square between nodes is two triangles that meet from (i, j) to (i + 1, j + 1).
    """

    x0: float
    y0: float
    cell: float
    heights: Array

    @property
    def box(self) -> Array:
        """Its least and greatest x and y, (2, 2), mm."""
        low = np.array([self.x0, self.y0])
        return np.stack([low, low + self.cell * (np.array(self.heights.shape) - 1)])

    def at(self, x: Array, y: Array) -> Array:
        """Heights at places, mm: x and y (n,)."""
        nodes = self.heights
        along, across = (x - self.x0) / self.cell, (y - self.y0) / self.cell
        i = np.clip(np.floor(along).astype(np.int64), 0, nodes.shape[0] - 2)
        j = np.clip(np.floor(across).astype(np.int64), 0, nodes.shape[1] - 2)
        u, v = np.clip(along - i, 0.0, 1.0), np.clip(across - j, 0.0, 1.0)
        here, ahead = nodes[i, j], nodes[i + 1, j + 1]
        corner = np.where(u >= v, nodes[i + 1, j], nodes[i, j + 1])
        return np.asarray(here + np.maximum(u, v) * (corner - here) + np.minimum(u, v) * (ahead - corner))

    def under(self, columns: Columns) -> Columns:
        """The columns with their heights told from this face, not from z = 0."""
        row, place = np.divmod(columns.line, columns.shape[1])
        face = self.at(columns.x0 + columns.cell * row, columns.y0 + columns.cell * place)
        return replace(columns, low=columns.low - face, high=columns.high - face)

    def points(self, placed: Placed) -> Array:
        """Its nodes under one cavity of a mould, (n, m, 3), mm."""
        i, j = np.indices(self.heights.shape)
        flat = np.column_stack([self.x0 + self.cell * i.ravel(), self.y0 + self.cell * j.ravel(), self.heights.ravel()])
        return placed.points(flat).reshape(*self.heights.shape, 3)

    @cached_property
    def steepness(self) -> Array:
        """Rise over run of the steeper of each square's two triangles, (n - 1, m - 1)."""
        nodes = self.heights
        run, rise = np.diff(nodes, axis=0), np.diff(nodes, axis=1)
        one = run[:, :-1] ** 2 + rise[1:, :] ** 2
        other = run[:, 1:] ** 2 + rise[:-1, :] ** 2
        return np.asarray(np.sqrt(np.maximum(one, other)) / self.cell)

    def steepest(self, plan: Mask, columns: Columns) -> float:
        """Degrees of the steepest place where the halves meet: none of a square that lies wholly in the plan."""
        row, place = np.indices(self.steepness.shape)
        met = np.zeros(self.steepness.shape, dtype=bool)
        for right in (0.0, 0.5, 1.0):
            for up in (0.0, 0.5, 1.0):
                x = self.x0 + self.cell * (row + right)
                y = self.y0 + self.cell * (place + up)
                i = np.rint((x - columns.x0) / columns.cell).astype(np.int64)
                j = np.rint((y - columns.y0) / columns.cell).astype(np.int64)
                on = (i >= 0) & (i < plan.shape[0]) & (j >= 0) & (j < plan.shape[1])
                inside = plan[np.clip(i, 0, plan.shape[0] - 1), np.clip(j, 0, plan.shape[1] - 1)]
                met |= ~(on & inside)
        return math.degrees(math.atan(float(np.where(met, self.steepness, 0.0).max(initial=0.0))))
