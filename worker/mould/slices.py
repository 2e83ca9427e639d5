"""A closed mesh cut by planes square to x: its columns are read off the cuts, whatever turn about x they stand at."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.strands.roots import Array

Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Slices:
    """Each piece of a cut runs from (`y[0]`, `z[0]`) to (`y[1]`, `z[1]`), (2, k), mm, in the plane of row `row`, (k,).

    Both triangles at an edge have the very same place on it, so every cut is a closed line to the last bit.
    """

    x0: float
    rows: int
    cell: float
    row: Whole
    y: Array
    z: Array


def slices_of(vertices: Array, triangles: Whole, cell: float) -> Slices:
    """The cuts, `cell` mm apart, of a mesh, (n, 3) mm and (m, 3)."""
    x0, rows = x_lines(vertices, cell)
    x = (vertices[:, 0] - x0) / cell
    y, z = np.ascontiguousarray(vertices[:, 1]), np.ascontiguousarray(vertices[:, 2])
    corners = [np.ascontiguousarray(triangles[:, corner]) for corner in range(3)]
    along = [x.take(corner) for corner in corners]
    # A row meets an edge where it is not under its lower end and under its higher one.
    first = np.ceil(np.minimum(np.minimum(along[0], along[1]), along[2])).astype(np.int64)
    end = np.ceil(np.maximum(np.maximum(along[0], along[1]), along[2])).astype(np.int64)
    near = np.flatnonzero(end > first)
    low, middle, high = _by_x(x, *(corner.take(near) for corner in corners))
    which, row = counted(np.arange(len(near)), first.take(near), (end - first).take(near))
    low, middle, high = low.take(which), middle.take(which), high.take(which)
    before = row < x.take(middle)
    begin, finish = np.where(before, low, middle), np.where(before, middle, high)
    ys, zs = [], []
    for one, other in ((low, high), (begin, finish)):
        share = (row - x.take(one)) / (x.take(other) - x.take(one))
        ys.append(y.take(one) + share * (y.take(other) - y.take(one)))
        zs.append(z.take(one) + share * (z.take(other) - z.take(one)))
    return Slices(x0, rows, cell, row, np.stack(ys), np.stack(zs))


def _by_x(x: Array, a: Whole, b: Whole, c: Whole) -> tuple[Whole, Whole, Whole]:
    """Three corners of each triangle in the order of their x."""

    def sorted_(one: Whole, other: Whole) -> tuple[Whole, Whole]:
        turned = x.take(one) > x.take(other)
        return np.where(turned, other, one), np.where(turned, one, other)

    a, b = sorted_(a, b)
    b, c = sorted_(b, c)
    a, b = sorted_(a, b)
    return a, b, c


def counted(owner: Whole, first: Whole, count: Whole) -> tuple[Whole, Whole]:
    """Each owner `count` times, with first, first + 1, ... beside it."""
    order = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    return np.repeat(owner, count), np.repeat(first, count) + order


def x_lines(vertices: Array, cell: float) -> tuple[float, int]:
    """Where the first row of columns stands along x, mm, and how many there are, with a free one at each end."""
    return _lines(vertices[:, 0], cell)


def y_lines(vertices: Array, cell: float) -> tuple[float, int]:
    """The same along y."""
    return _lines(vertices[:, 1], cell)


def _lines(along: Array, cell: float) -> tuple[float, int]:
    start = float(np.floor(along.min() / cell) * cell) - (1 - OFF) * cell
    return start, int(np.ceil((along.max() - start) / cell)) + 2


OFF = 0.3819660112501051
"""Where the lines stand between whole cells, so that none runs along the many edges at round places."""
