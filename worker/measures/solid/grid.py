"""A solid on a cubic grid: which cells' middles lie in a closed surface."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from worker.strands.roots import Array

Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]

OFF_MM = 3e-6
"""Cells are a multiple of 1e-4 mm wide and this: so no middle of one shares a coordinate with a corner of the mesh,
all of which lie on multiples of 1e-5 mm, and no line through middles meets a corner."""


@dataclass(frozen=True)
class Grid:
    """Cells `size` mm wide; `filled` (nx, ny, nz) tells those whose middle lies in the solid. `low`: the first corner.

    The outermost layer of cells is empty.
    """

    low: tuple[float, float, float]
    size: float
    filled: Flags

    @cached_property
    def cells(self) -> Whole:
        """Indices (n, 3) of the filled cells, in order."""
        return np.argwhere(self.filled)

    @cached_property
    def middles(self) -> Array:
        """Middles (n, 3) of the filled cells, mm."""
        return self.middles_of(self.cells)

    def middles_of(self, cells: Whole) -> Array:
        """Middles (n, 3) of cells by their indices (n, 3), mm."""
        return np.asarray(np.array(self.low) + (cells + 0.5) * self.size)

    @cached_property
    def number(self) -> Whole:
        """(nx, ny, nz): each filled cell's place among `cells`, -1 elsewhere."""
        number = np.full(self.filled.shape, -1, dtype=np.int64)
        number[self.filled] = np.arange(int(self.filled.sum()))
        return number

    def of_cells(self, flags: Flags) -> Flags:
        """(nx, ny, nz) of flags (n,) of the filled cells."""
        spread = np.zeros(self.filled.shape, dtype=bool)
        spread[self.filled] = flags
        return spread


def cell_size(size: float) -> float:
    """The nearest width of cells, mm, that keeps their middles off the mesh's corners; see OFF_MM."""
    return round(max(size, 1e-3), 4) + OFF_MM


def grid_of(
    vertices: Array, triangles: Whole, size: float, box: tuple[Array, Array] | None = None, *, both_sides: bool = False
) -> Grid:
    """The solid inside outward triangles, or what of it lies in `box` (low, high), on cells about `size` mm wide.

    With `both_sides` the grid lies alike on both sides of y = 0. A cell is filled where the triangles wind around its
    middle: on each line of middles along z the crossings are counted, up less down, so the answer is exact.
    """
    width = cell_size(size)
    low, high = (vertices.min(axis=0), vertices.max(axis=0)) if box is None else box
    counts = [max(1, math.ceil(float(high[axis] - low[axis]) / width)) + 2 for axis in range(3)]
    first = [round(float(low[axis]), 5) - width for axis in range(3)]
    if both_sides:
        counts[1] = 2 * (math.ceil(float(max(high[1], -low[1])) / width) + 1)
        first[1] = -counts[1] / 2 * width
    nx, ny, nz = counts
    line, at, turn = _crossings(vertices, triangles, (first[0], first[1]), width, (nx, ny))
    # A crossing counts for all cells whose middle lies above it.
    above = np.clip(np.ceil((at - first[2]) / width - 0.5), 0, nz).astype(np.int64)
    change = np.zeros((nx * ny, nz + 1), dtype=np.int32)
    np.add.at(change, (line, above), turn)
    filled = (np.cumsum(change[:, :nz], axis=1, dtype=np.int32) > 0).reshape(nx, ny, nz)
    filled[[0, -1]] = filled[:, [0, -1]] = filled[:, :, [0, -1]] = False
    return Grid((first[0], first[1], first[2]), width, filled)


def _crossings(
    vertices: Array, triangles: Whole, first: tuple[float, float], width: float, counts: tuple[int, int]
) -> tuple[Whole, Array, Whole]:
    """Where lines along z through cells' middles cross triangles: line, height in mm, and 1 into the solid, -1 out."""
    # Edges are asked from their lower corner to their higher one, so both of an edge's triangles hear the same answer.
    x = (vertices[:, 0] - first[0]) / width - 0.5
    y = (vertices[:, 1] - first[1]) / width - 0.5
    cx, cy = x[triangles], y[triangles]
    begin_x = np.maximum(np.ceil(cx.min(axis=1)), 0).astype(np.int64)
    begin_y = np.maximum(np.ceil(cy.min(axis=1)), 0).astype(np.int64)
    end_x = np.minimum(np.floor(cx.max(axis=1)), counts[0] - 1).astype(np.int64)
    end_y = np.minimum(np.floor(cy.max(axis=1)), counts[1] - 1).astype(np.int64)
    tall = np.maximum(end_y - begin_y + 1, 0)
    many = np.maximum(end_x - begin_x + 1, 0) * tall
    which = np.repeat(np.arange(len(triangles)), many)
    rank = np.arange(len(which)) - np.repeat(np.cumsum(many) - many, many)
    gx = begin_x[which] + rank // tall[which]
    gy = begin_y[which] + rank % tall[which]
    corners = triangles[which]
    side = np.stack([_side(x, y, corners[:, i], corners[:, (i + 1) % 3], gx, gy) for i in range(3)])
    into, out = np.asarray((side > 0).all(axis=0)), np.asarray((side < 0).all(axis=0))
    met = np.flatnonzero(into | out)
    corners, gx, gy = corners[met], gx[met], gy[met]
    ax, ay, az = x[corners[:, 0]], y[corners[:, 0]], vertices[corners[:, 0], 2]
    ux, uy, uz = x[corners[:, 1]] - ax, y[corners[:, 1]] - ay, vertices[corners[:, 1], 2] - az
    vx, vy, vz = x[corners[:, 2]] - ax, y[corners[:, 2]] - ay, vertices[corners[:, 2], 2] - az
    area = ux * vy - uy * vx
    px, py = gx - ax, gy - ay
    height = az + ((px * vy - py * vx) * uz + (ux * py - uy * px) * vz) / area
    # Seen from above an outward triangle turns left where a line leaves the solid there.
    return gx * counts[1] + gy, height, np.where(out[met], 1, -1)


def _side(x: Array, y: Array, begin: Whole, end: Whole, px: Whole, py: Whole) -> Whole:
    """1 where (px, py) lies to the left of the edge from `begin` to `end`, -1 to its right; never 0."""
    turned = begin > end
    one, two = np.where(turned, end, begin), np.where(turned, begin, end)
    left = (x[two] - x[one]) * (py - y[one]) - (y[two] - y[one]) * (px - x[one]) > 0
    return np.where(left != turned, 1, -1)
