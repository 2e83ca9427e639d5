"""Which triangle stands at which pixel: a rasteriser over arrays, and its depth buffer.

Triangles are worked in their own order, so that ties in depth always go the same way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.picture.vector import Floats, Indices, Integers, gathered

_BLOCK = 200_000
"""Pixels tried at a time: bounds the memory that a few large triangles would take."""

_SLIM = 48
"""Pixels in the mean box of a block's triangles from which they are worked row by row."""

_SLACK = np.float32(2e-4)
"""Weights this far outside still count: else a pixel on the edge of two triangles could fall to neither by rounding."""

_NOTHING = np.uint64(0xFFFFFFFFFFFFFFFF)
_LOW = np.uint64(0xFFFFFFFF)
_HALF = np.float32(0.5)


@dataclass(frozen=True)
class Hits:
    """Pixel centres covered by triangles, one entry each: `pixel` is row times width plus column, (`u`, `v`) the
    weights of the triangle's second and third corner, `depth` as given (single precision)."""

    pixel: Indices
    triangle: Indices
    u: Floats
    v: Floats
    depth: Floats


@dataclass(frozen=True)
class _Facing:
    """The triangles that can cover a pixel centre: their number, pixels spanned (from the first `column` and `row`,
    `wide`, `count`), and weights as u = u_0 + column * u_x + row * u_y from the middle of the first pixel."""

    triangle: Indices
    column: Integers
    row: Integers
    wide: Integers
    count: Integers
    u_0: Floats
    u_x: Floats
    u_y: Floats
    v_0: Floats
    v_x: Floats
    v_y: Floats

    def weights(self, owner: Indices | Integers, over: Integers, down: Integers) -> tuple[Floats, Floats]:
        """Weights of triangles' second and third corners, so many pixels from each one's first."""
        x, y = over.astype(np.float32), down.astype(np.float32)
        u: Floats = self.u_0.take(owner) + self.u_x.take(owner) * x + self.u_y.take(owner) * y
        v: Floats = self.v_0.take(owner) + self.v_x.take(owner) * x + self.v_y.take(owner) * y
        return u, v

    def depths(self, corners: list[Floats], owner: Indices, u: Floats, v: Floats) -> Floats:
        """Depth by weights; `corners` are those of these triangles."""
        a, b, c = (corner.take(owner) for corner in corners)
        deep: Floats = a * (1 - u - v) + b * u + c * v
        return deep


def nearest(
    column: Floats,
    row: Floats,
    depth: Floats,
    corners: Sequence[Integers],
    width: int,
    height: int,
    facing: int,
) -> Hits:
    """The nearest triangle at each pixel centre, by ascending pixel. Arguments as for `crossings`."""
    faces = _facing(column, row, corners, width, height, facing)
    ends = [depth.take(corner.take(faces.triangle)) for corner in corners]
    buffer = np.full(width * height, _NOTHING)
    for pixel, owner, u, v in _covered(faces, width):
        # Depth is positive, so its bits sort like the number; the triangle's number below them breaks ties.
        bits = faces.depths(ends, owner, u, v).view(np.uint32).astype(np.uint64)
        np.minimum.at(buffer, pixel, (bits << np.uint64(32)) | owner.astype(np.uint64))
    pixel = np.flatnonzero(buffer != _NOTHING)
    owner = (buffer.take(pixel) & _LOW).astype(np.int64)
    down = (pixel // width).astype(np.int32)
    over = (pixel - down.astype(np.int64) * width).astype(np.int32)
    u, v = faces.weights(owner, over - faces.column.take(owner), down - faces.row.take(owner))
    return Hits(pixel, faces.triangle.take(owner), u, v, faces.depths(ends, owner, u, v))


def crossings(
    column: Floats,
    row: Floats,
    depth: Floats,
    corners: Sequence[Integers],
    width: int,
    height: int,
    facing: int,
) -> Hits:
    """Every triangle at every pixel centre.

    `column`, `row` and `depth` (positive) are those of the vertices, `corners` the triangles. `facing` keeps the
    triangles whose turn from column towards row has that sign: with rows counted downwards -1 is the near side of a
    closed outward mesh and 1 the far side, with rows counted upwards the other way round; 0 keeps both.
    """
    faces = _facing(column, row, corners, width, height, facing)
    parts = list(_covered(faces, width))
    if not parts:
        none, nothing = np.zeros(0, np.int64), np.zeros(0, np.float32)
        return Hits(none, none, nothing, nothing, nothing)
    pixel, owner, u, v = (np.concatenate(part) for part in zip(*parts, strict=True))
    ends = [depth.take(corner.take(faces.triangle)) for corner in corners]
    return Hits(pixel, faces.triangle.take(owner), u, v, faces.depths(ends, owner, u, v))


def _facing(column: Floats, row: Floats, corners: Sequence[Integers], width: int, height: int, facing: int) -> _Facing:
    x0, x1, x2 = (column.take(corner) for corner in corners)
    y0, y1, y2 = (row.take(corner) for corner in corners)
    turn = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
    turned = np.flatnonzero((turn != 0) if facing == 0 else (turn * np.float32(facing) > 0))
    x0, x1, x2, y0, y1, y2 = gathered((x0, x1, x2, y0, y1, y2), turned)
    first_x = np.maximum(np.ceil(np.minimum(np.minimum(x0, x1), x2) - _HALF), 0)
    last_x = np.minimum(np.floor(np.maximum(np.maximum(x0, x1), x2) - _HALF), width - 1)
    first_y = np.maximum(np.ceil(np.minimum(np.minimum(y0, y1), y2) - _HALF), 0)
    last_y = np.minimum(np.floor(np.maximum(np.maximum(y0, y1), y2) - _HALF), height - 1)
    spanning = np.flatnonzero((last_x >= first_x) & (last_y >= first_y))
    kept = turned.take(spanning)
    x0, x1, x2, y0, y1, y2 = gathered((x0, x1, x2, y0, y1, y2), spanning)
    left, right, top, bottom = gathered((first_x, last_x, first_y, last_y), spanning)
    inverse: Floats = np.divide(np.float32(1), turn.take(kept))
    u_x, u_y, v_x, v_y = (y2 - y0) * inverse, (x0 - x2) * inverse, (y0 - y1) * inverse, (x1 - x0) * inverse
    across, along = left + _HALF - x0, top + _HALF - y0
    wide = (right - left + 1).astype(np.int32)
    return _Facing(
        triangle=kept,
        column=left.astype(np.int32),
        row=top.astype(np.int32),
        wide=wide,
        count=wide * (bottom - top + 1).astype(np.int32),
        u_0=u_x * across + u_y * along,
        u_x=u_x,
        u_y=u_y,
        v_0=v_x * across + v_y * along,
        v_x=v_x,
        v_y=v_y,
    )


def _covered(faces: _Facing, width: int) -> Iterator[tuple[Indices, Indices, Floats, Floats]]:
    """Pixels, the number of the triangle among those facing, and weights, a block at a time."""
    start = faces.row.astype(np.int64) * width + faces.column
    for low, high in _cuts(faces.count):
        slim = int(faces.count[low:high].sum()) > _SLIM * (high - low)
        which, over, down = _in_rows(faces, low, high) if slim else _in_boxes(faces, low, high)
        u, v = faces.weights(which, over, down)
        hit = np.flatnonzero((u >= -_SLACK) & (v >= -_SLACK) & (u + v <= 1 + _SLACK))
        owner = which.take(hit)
        pixel = start.take(owner) + down.take(hit).astype(np.int64) * width + over.take(hit)
        yield pixel, owner, u.take(hit), v.take(hit)


def _in_boxes(faces: _Facing, low: int, high: int) -> tuple[Indices, Integers, Integers]:
    """Every pixel of the boxes around triangles `low` to `high`: the triangle, and pixels over and down in its box."""
    which, place = _spread(low, faces.count[low:high])
    wide = faces.wide.take(which)
    down = place // wide
    return which, place - down * wide, down


def _in_rows(faces: _Facing, low: int, high: int) -> tuple[Indices, Integers, Integers]:
    """The same, of each row only what may lie in the triangle: a long slant one is a sliver of its box.

    A weight grows evenly along a row, so each of the three leaves of it what lies on one side of a place.
    """
    rows = faces.count[low:high] // faces.wide[low:high]
    triangle, down = _spread(low, rows)
    u, v = faces.weights(triangle, np.zeros(len(down), np.int32), down)
    u_x, v_x = faces.u_x.take(triangle), faces.v_x.take(triangle)
    begin = np.zeros(len(down), np.float32)
    end = (faces.wide.take(triangle) - 1).astype(np.float32)
    for weight, rise in ((u, u_x), (v, v_x), (1 - u - v, -u_x - v_x)):
        with np.errstate(divide="ignore", invalid="ignore"):
            place = (-_SLACK - weight) / rise
        begin = np.where(rise > 0, np.maximum(begin, np.floor(place)), begin)
        end = np.where(rise < 0, np.minimum(end, np.ceil(place)), end)
    span = np.maximum(end - begin + 1, 0).astype(np.int32)
    number, over = _spread(0, span)
    return triangle.take(number), over + begin.astype(np.int32).take(number), down.take(number)


def _spread(low: int, many: Integers) -> tuple[Indices, Integers]:
    """Each number from `low` on as often as `many` says, and 0, 1, 2, ... of each."""
    which = np.repeat(np.arange(low, low + len(many)), many)
    place = np.arange(len(which), dtype=np.int32)
    place -= np.repeat((np.cumsum(many) - many).astype(np.int32), many)
    return which, place


def _cuts(count: Integers) -> Iterator[tuple[int, int]]:
    """Ranges of triangles that cover about one block of pixels each."""
    ends = np.cumsum(count, dtype=np.int64)
    low = 0
    while low < len(count):
        base = int(ends[low - 1]) if low else 0
        high = max(low + 1, int(np.searchsorted(ends, base + _BLOCK, "right")))
        yield low, high
        low = high
