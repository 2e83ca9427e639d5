"""What is seen of a closed mesh from straight above: row by row, every sample of a row between two edges at once.

Without a perspective a row meets a triangle between two of its edges. Each edge is cut at the same place for both of
its triangles, and a stretch holds its begin but not its end: so no sample falls to none or to both of two neighbours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.picture.raster import cuts
from worker.picture.vector import Doubles, Floats, Indices, Integers

_BLOCK = 400_000
"""Samples that are worked at a time."""

_NOTHING = np.uint64(0xFFFFFFFFFFFFFFFF)
_LOW, _BITS = np.uint64(0xFFFFFFFF), np.uint64(32)


@dataclass(frozen=True)
class Seen:
    """By sample, (rows, columns): whether there is any triangle, the nearest one, and its depth as given."""

    covered: NDArray[np.bool_]
    triangle: Indices
    depth: Floats


def seen_from_above(
    column: Floats, row: Floats, depth: Floats, corners: Sequence[Integers], width: int, height: int
) -> Seen:
    """The nearest triangle at each sample's middle; arguments as for `raster.crossings`, facing -1, depth positive."""
    x, y = column.astype(np.float64) - 0.5, row.astype(np.float64) - 0.5
    deep = depth.astype(np.float64)
    owner, line, begin, count, base, slope = _stretches(x, y, deep, corners, width, height)
    buffer = np.full(width * height, _NOTHING)
    for low, high in cuts(count, _BLOCK):
        many = count[low:high]
        which = np.repeat(np.arange(low, high), many)
        place = np.arange(len(which)) + np.repeat(begin[low:high] - np.cumsum(many) + many, many)
        reach = (np.repeat(base[low:high], many) + np.repeat(slope[low:high], many) * place).astype(np.float32)
        # Depth is positive, so its bits sort like the number; the stretch's number below them breaks ties.
        key = (reach.view(np.uint32).astype(np.uint64) << _BITS) | which.astype(np.uint64)
        place += np.repeat(line[low:high] * width, many)
        np.minimum.at(buffer, place, key)
    covered = buffer != _NOTHING
    stretch = np.where(covered, buffer & _LOW, np.uint64(0)).astype(np.int64)
    nearest = (buffer >> _BITS).astype(np.uint32).view(np.float32)
    shape = (height, width)
    return Seen(covered.reshape(shape), owner.take(stretch).reshape(shape), nearest.reshape(shape))


def _stretches(
    x: Doubles, y: Doubles, deep: Doubles, corners: Sequence[Integers], width: int, height: int
) -> tuple[Indices, Indices, Indices, Indices, Doubles, Doubles]:
    """Of each row of each triangle that faces the eye: the triangle, the row, its first sample and how many, and the
    depth there as base + slope * column.
    """
    a, b, c = corners
    turn = (x.take(b) - x.take(a)) * (y.take(c) - y.take(a)) - (x.take(c) - x.take(a)) * (y.take(b) - y.take(a))
    near = np.flatnonzero(turn < 0)
    low, middle, high = _by_row(y, *(corner.take(near) for corner in corners))
    first, between, end = (np.clip(np.ceil(y.take(each)), 0, height).astype(np.int64) for each in (low, middle, high))
    # A row below the middle corner meets the edges from the lowest one, a row above it those to the highest one.
    parts = [
        (np.flatnonzero(until > since), since, until, edge)
        for since, until, edge in ((first, between, (low, middle)), (between, end, (middle, high)))
    ]
    whose = np.concatenate([each for each, *_ in parts])
    since = np.concatenate([begins.take(each) for each, begins, _, _ in parts])
    until = np.concatenate([ends.take(each) for each, _, ends, _ in parts])
    long = _Edges(x, y, deep, low.take(whose), high.take(whose))
    short = _Edges(x, y, deep, *(np.concatenate([part[3][end].take(part[0]) for part in parts]) for end in (0, 1)))
    rows = until - since
    line = np.arange(int(rows.sum())) + np.repeat(since - np.cumsum(rows) + rows, rows)
    (x0, deep0), (x1, deep1) = long.at(line, rows), short.at(line, rows)
    begin = np.maximum(np.ceil(np.minimum(x0, x1)), 0).astype(np.int64)
    count = np.minimum(np.ceil(np.maximum(x0, x1)), width).astype(np.int64) - begin
    kept = np.flatnonzero(count > 0)
    x0, x1, deep0, deep1 = (each.take(kept) for each in (x0, x1, deep0, deep1))
    slope = (deep1 - deep0) / (x1 - x0)
    owner = np.repeat(near.take(whose), rows).take(kept)
    return owner, line.take(kept), begin.take(kept), count.take(kept), deep0 - slope * x0, slope


class _Edges:
    """Edges from corners `one` up to corners `other`: where a row meets them."""

    def __init__(self, x: Doubles, y: Doubles, deep: Doubles, one: Integers, other: Integers) -> None:
        self._y, self._x, self._deep = y.take(one), x.take(one), deep.take(one)
        tall = y.take(other) - self._y
        self._run, self._deeper = (x.take(other) - self._x) / tall, (deep.take(other) - self._deep) / tall

    def at(self, line: Indices, rows: Indices) -> tuple[Doubles, Doubles]:
        """Column and depth where each of them meets its so many rows, told one after another."""
        up = line - np.repeat(self._y, rows)
        run, deeper = np.repeat(self._run, rows), np.repeat(self._deeper, rows)
        return np.repeat(self._x, rows) + run * up, np.repeat(self._deep, rows) + deeper * up


def _by_row(y: Doubles, a: Integers, b: Integers, c: Integers) -> tuple[Integers, Integers, Integers]:
    """Three corners of each triangle in the order of their rows."""

    def sorted_(one: Integers, other: Integers) -> tuple[Integers, Integers]:
        turned = y.take(one) > y.take(other)
        return np.where(turned, other, one), np.where(turned, one, other)

    a, b = sorted_(a, b)
    b, c = sorted_(b, c)
    a, b = sorted_(a, b)
    return a, b, c
