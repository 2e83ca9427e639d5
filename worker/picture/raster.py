"""Which triangle stands at which pixel: a rasteriser over arrays, and its depth buffer.

Triangles are worked in their own order, so that ties in depth always go the same way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.picture.vector import Floats, Indices, Integers, gathered

_BLOCK = 400_000
"""Pixels tried at a time: bounds the memory that a few large triangles would take."""

_SLACK = np.float32(2e-4)
"""Weights this far outside still count: else a pixel on the edge of two triangles could fall to neither by rounding."""

_NOTHING = np.uint64(0xFFFFFFFFFFFFFFFF)
_LOW = np.uint64(0xFFFFFFFF)


@dataclass(frozen=True)
class Hits:
    """Pixel centres covered by triangles, one entry each: `pixel` is row times width plus column, (`u`, `v`) the
    weights of the triangle's second and third corner, `depth` as given (single precision)."""

    pixel: Indices
    triangle: Indices
    u: Floats
    v: Floats
    depth: Floats

    def take(self, places: Indices) -> Hits:
        """The entries at some places."""
        return Hits(*gathered((self.pixel, self.triangle, self.u, self.v, self.depth), places))


def nearest(
    column: Floats, row: Floats, depth: Floats, corners: Sequence[Integers], width: int, height: int, facing: int
) -> Hits:
    """The nearest triangle at each pixel centre, by ascending pixel. Arguments as for `crossings`."""
    hits = crossings(column, row, depth, corners, width, height, facing)
    # Depth is positive, so its bits sort like the number; the entry's own number below them breaks ties.
    entry = np.arange(len(hits.pixel), dtype=np.uint64)
    key = (hits.depth.view(np.uint32).astype(np.uint64) << np.uint64(32)) | entry
    buffer = np.full(width * height, _NOTHING)
    np.minimum.at(buffer, hits.pixel, key)
    covered = np.flatnonzero(buffer != _NOTHING)
    return hits.take((buffer.take(covered) & _LOW).astype(np.int64))


def crossings(
    column: Floats, row: Floats, depth: Floats, corners: Sequence[Integers], width: int, height: int, facing: int
) -> Hits:
    """Every triangle at every pixel centre.

    `column`, `row` and `depth` (positive) are those of the vertices, `corners` the triangles. `facing` keeps the
    triangles whose turn from column towards row has that sign: with rows counted downwards -1 is the near side of a
    closed outward mesh and 1 the far side, with rows counted upwards the other way round; 0 keeps both.
    """
    parts = list(_blocks(column, row, corners, width, height, facing))
    if not parts:
        none, nothing = np.zeros(0, np.int64), np.zeros(0, np.float32)
        return Hits(none, none, nothing, nothing, nothing)
    pixel, triangle, u, v = (np.concatenate(part) for part in zip(*parts, strict=True))
    a, b, c = (depth.take(corner.take(triangle)) for corner in corners)
    return Hits(pixel, triangle, u, v, a * (1 - u - v) + b * u + c * v)


def _blocks(
    column: Floats, row: Floats, corners: Sequence[Integers], width: int, height: int, facing: int
) -> Iterator[tuple[Indices, Indices, Floats, Floats]]:
    x0, x1, x2 = (column.take(corner) for corner in corners)
    y0, y1, y2 = (row.take(corner) for corner in corners)
    turn = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
    turned = np.flatnonzero((turn != 0) if facing == 0 else (turn * np.float32(facing) > 0))
    x0, x1, x2, y0, y1, y2 = gathered((x0, x1, x2, y0, y1, y2), turned)
    half = np.float32(0.5)
    first_x = np.maximum(np.ceil(np.minimum(np.minimum(x0, x1), x2) - half), 0)
    last_x = np.minimum(np.floor(np.maximum(np.maximum(x0, x1), x2) - half), width - 1)
    first_y = np.maximum(np.ceil(np.minimum(np.minimum(y0, y1), y2) - half), 0)
    last_y = np.minimum(np.floor(np.maximum(np.maximum(y0, y1), y2) - half), height - 1)
    spanning = np.flatnonzero((last_x >= first_x) & (last_y >= first_y))
    kept = turned.take(spanning)
    turn = turn.take(kept)
    x0, x1, x2, y0, y1, y2 = gathered((x0, x1, x2, y0, y1, y2), spanning)
    left, right, top, bottom = (edge.take(spanning).astype(np.int32) for edge in (first_x, last_x, first_y, last_y))
    wide = right - left + 1
    count = wide * (bottom - top + 1)
    inverse = 1 / turn
    u_x, u_y, v_x, v_y = (y2 - y0) * inverse, (x0 - x2) * inverse, (y0 - y1) * inverse, (x1 - x0) * inverse
    across, along = left.astype(np.float32) + half - x0, top.astype(np.float32) + half - y0
    u_0, v_0 = u_x * across + u_y * along, v_x * across + v_y * along
    start = top.astype(np.int64) * width + left
    for low, high in _cuts(count):
        many = count[low:high]
        which = np.repeat(np.arange(low, high, dtype=np.int32), many)
        place = np.arange(len(which), dtype=np.int32)
        place -= np.repeat((np.cumsum(many) - many).astype(np.int32), many)
        down = place // wide.take(which)
        over = place - down * wide.take(which)
        step_x, step_y = over.astype(np.float32), down.astype(np.float32)
        u = u_0.take(which) + u_x.take(which) * step_x + u_y.take(which) * step_y
        v = v_0.take(which) + v_x.take(which) * step_x + v_y.take(which) * step_y
        hit = np.flatnonzero((u >= -_SLACK) & (v >= -_SLACK) & (u + v <= 1 + _SLACK))
        owner = which.take(hit)
        pixel = start.take(owner) + down.take(hit).astype(np.int64) * width + over.take(hit)
        yield pixel, kept.take(owner), u.take(hit), v.take(hit)


def _cuts(count: Integers) -> Iterator[tuple[int, int]]:
    """Ranges of triangles that cover about one block of pixels each."""
    ends = np.cumsum(count, dtype=np.int64)
    low = 0
    while low < len(count):
        base = int(ends[low - 1]) if low else 0
        high = max(low + 1, int(np.searchsorted(ends, base + _BLOCK, "right")))
        yield low, high
        low = high
