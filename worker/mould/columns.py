"""A closed mesh as columns: where upright lines on a square grid go in and out of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from worker.errors import GeometryFailed
from worker.mould.slices import Slices, Whole, counted, slices_of, y_lines
from worker.strands.roots import Array

Mask = NDArray[np.bool_]

BLOCK = 400_000
"""Places where lines go through a mesh that are worked at a time."""


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
    """The columns of a closed mesh, (n, 3) mm and (m, 3) outward. Raises GeometryFailed where it is open."""
    return columns_on(slices_of(vertices, triangles, cell), vertices)


def columns_on(cuts: Slices, vertices: Array) -> Columns:
    """The columns that stand in the cuts of a mesh, (n, 3), with a free line all round. Raises GeometryFailed."""
    y0, across = y_lines(vertices, cuts.cell)
    y = (cuts.y - y0) / cuts.cell
    first = np.ceil(np.minimum(y[0], y[1])).astype(np.int64)
    count = np.ceil(np.maximum(y[0], y[1])).astype(np.int64) - first
    lines, heights = [], []
    for part in _parts(count):
        piece, j = counted(part, first.take(part), count.take(part))
        begin = y[0].take(piece)
        share = (j - begin) / (y[1].take(piece) - begin)
        low = cuts.z[0].take(piece)
        heights.append(low + share * (cuts.z[1].take(piece) - low))
        lines.append(cuts.row.take(piece) * across + j)
    line, height = np.concatenate(lines), np.concatenate(heights)
    order = np.argsort(line, kind="stable")
    line, height = line.take(order), height.take(order)
    if len(line) % 2 or (line[::2] != line[1::2]).any():
        raise GeometryFailed("The mesh is open: a line goes in and does not come out.")
    return Columns(cuts.x0, y0, cuts.cell, (cuts.rows, across), line[::2], *_stretches(line, height))


def _parts(count: Whole) -> Iterator[Whole]:
    """Numbers of the pieces that meet lines, so many at a time that they meet `BLOCK` of them or little more."""
    met = np.flatnonzero(count)
    ends = np.cumsum(count.take(met))
    yield from np.split(met, np.searchsorted(ends, np.arange(BLOCK, int(ends[-1]) if len(ends) else 0, BLOCK)))


def _stretches(line: Whole, height: Array) -> tuple[Array, Array]:
    """Lower and upper end of each stretch of plastic on sorted lines, upward on each of them."""
    one, other = height[::2], height[1::2]
    low, high = np.minimum(one, other), np.maximum(one, other)
    same = line[::2][1:] == line[::2][:-1]
    if same.any():
        # Few lines go through plastic more than once: only those are sorted.
        again = np.zeros(len(low), dtype=bool)
        again[1:] |= same
        again[:-1] |= same
        both = np.repeat(again, 2)
        sorted_ = height[both][np.lexsort((height[both], line[both]))]
        low[again], high[again] = sorted_[::2], sorted_[1::2]
    return low, high
