"""A closed mesh as columns: where upright lines on a square grid go in and out of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from worker.errors import GeometryFailed
from worker.strands.roots import Array

Whole = NDArray[np.int64]
Mask = NDArray[np.bool_]

BLOCK = 400_000
"""Pairs of a triangle and a row that it meets that are worked at a time."""


@dataclass(frozen=True)
class Columns:
    """`cell` mm apart; the line of row i and column j stands at x = x0 + i cell, y = y0 + j cell.

    Stretch k of plastic lies on line `line[k]` = i * shape[1] + j, from `low[k]` to `high[k]`; sorted by line, then up.
    """

    x0: float
    y0: float
    cell: float
    shape: tuple[int, int]
    line: Whole
    low: Array
    high: Array

    @property
    def volume(self) -> float:
        """mm3, to the fineness of the grid."""
        return float((self.high - self.low).sum()) * self.cell * self.cell

    @cached_property
    def first(self) -> Whole:
        """Of each line that meets plastic, the number of its lowest stretch."""
        return np.flatnonzero(np.diff(self.line, prepend=-1))

    @property
    def plan(self) -> Mask:
        """The lines that meet plastic, as a plan of `shape`."""
        met = np.zeros(self.shape[0] * self.shape[1], dtype=bool)
        met[self.line] = True
        return met.reshape(self.shape)

    @cached_property
    def outward(self) -> Array:
        """How far each line of the plan is from the nearest one off it, in cells; 0 off the plan."""
        return distance_off(self.plan)

    def spread(self, values: Array) -> Array:
        """The sum of each line's values, (k,), as a plan."""
        count = self.shape[0] * self.shape[1]
        return np.asarray(np.bincount(self.line, values, count), dtype=np.float64).reshape(self.shape)


def distance_off(plan: Mask) -> Array:
    """How far each place of a plan is from the nearest one off it, in cells; 0 off the plan."""
    return np.asarray(distance_transform_edt(np.pad(plan, 1))[1:-1, 1:-1])


def columns_of(vertices: Array, triangles: Whole, cell: float) -> Columns:
    """The columns of a closed mesh, (n, 3) mm and (m, 3) outward, with a free line all round it.

    A line through an edge counts for one of the two triangles there, by the edge's own direction, so that it always
    goes out as often as in. Raises GeometryFailed where it does not: the mesh is open.
    """
    least, most = vertices.min(axis=0), vertices.max(axis=0)
    x0, y0 = (float(np.floor(least[axis] / cell) * cell) - (1 - OFF) * cell for axis in (0, 1))
    shape = tuple(int(np.ceil((most[axis] - start) / cell)) + 2 for axis, start in ((0, x0), (1, y0)))
    place = np.stack([(vertices[:, 0] - x0) / cell, (vertices[:, 1] - y0) / cell], axis=1)
    lines, heights = [], []
    for owner, i in _rows(place[:, 0][triangles]):
        owner, i, j = _on_row(place, triangles, owner, i)
        hit, height = _through(place, vertices[:, 2], triangles[owner], i, j)
        lines.append((i * shape[1] + j)[hit])
        heights.append(height[hit])
    line, height = np.concatenate(lines), np.concatenate(heights)
    order = np.lexsort((height, line))
    line, height = line[order], height[order]
    if len(line) % 2 or (line[::2] != line[1::2]).any():
        raise GeometryFailed("The mesh is open: a line goes in and does not come out.")
    return Columns(x0, y0, cell, (shape[0], shape[1]), line[::2], height[::2], height[1::2])


OFF = 0.3819660112501051
"""Where the lines stand between whole cells, so that none runs along the many edges at round places."""


def _rows(along: Array) -> Iterator[tuple[Whole, Whole]]:
    """Triangles and rows that meet, block by block; `along` (m, 3): corners across the rows."""
    first = np.ceil(along.min(axis=1)).astype(np.int64)
    count = np.maximum(np.floor(along.max(axis=1)).astype(np.int64) - first + 1, 0)
    near = np.flatnonzero(count)
    ends = np.cumsum(count[near])
    cuts = np.searchsorted(ends, np.arange(BLOCK, int(ends[-1]) if len(ends) else 0, BLOCK))
    for part in np.split(near, cuts):
        yield _counted(part, first[part], count[part])


def _on_row(place: Array, triangles: Whole, owner: Whole, i: Whole) -> tuple[Whole, Whole, Whole]:
    """Triangles, rows and lines on them that lie within reach of the triangle, a hair's breadth more on each side."""
    low, high = np.full(len(owner), np.inf), np.full(len(owner), -np.inf)
    for one, other in ((0, 1), (1, 2), (2, 0)):
        a, b = place[triangles[owner, one]], place[triangles[owner, other]]
        run = b[:, 0] - a[:, 0]
        share = np.clip((i - a[:, 0]) / np.where(run == 0, 1.0, run), 0.0, 1.0)
        reach = a[:, 1] + share * (b[:, 1] - a[:, 1])
        met = (np.minimum(a[:, 0], b[:, 0]) <= i) & (i <= np.maximum(a[:, 0], b[:, 0]))
        low, high = np.where(met, np.minimum(low, reach), low), np.where(met, np.maximum(high, reach), high)
    first = np.ceil(low - HAIR).astype(np.int64)
    count = np.maximum(np.floor(high + HAIR).astype(np.int64) - first + 1, 0)
    which, j = _counted(np.arange(len(owner)), first, count)
    return owner[which], i[which], j


HAIR = 1e-6
"""Of a cell: what a row's ends may be off by."""


def _counted(owner: Whole, first: Whole, count: Whole) -> tuple[Whole, Whole]:
    """Each owner `count` times, with first, first + 1, ... beside it."""
    order = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    return np.repeat(owner, count), np.repeat(first, count) + order


def _through(place: Array, z: Array, corners: Whole, i: Whole, j: Whole) -> tuple[Mask, Array]:
    """Whether each line goes through its triangle, (k,), and at what height."""
    weights, inside, agree = [], [], None
    for one, other in ((1, 2), (2, 0), (0, 1)):
        a, b = corners[:, one], corners[:, other]
        turned = a > b
        a, b = np.where(turned, b, a), np.where(turned, a, b)
        ax, ay = place[a, 0], place[a, 1]
        side = (place[b, 0] - ax) * (j - ay) - (place[b, 1] - ay) * (i - ax)
        inside.append((side > 0) ^ turned)
        weights.append(np.where(turned, -side, side))
    agree = (inside[0] == inside[1]) & (inside[1] == inside[2])
    whole = weights[0] + weights[1] + weights[2]
    agree &= whole != 0
    safe = np.where(agree, whole, 1.0)
    height = sum(weight * z[corners[:, each]] for each, weight in enumerate(weights)) / safe
    return agree, np.asarray(height)
