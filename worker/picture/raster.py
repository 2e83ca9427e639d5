"""Which triangle stands at which pixel: a rasteriser over arrays, and its depth buffer.

Triangles are worked in their own order, so that ties in depth always go the same way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.picture.facing import SLACK, Facing, facing_the_eye
from worker.picture.strips import strips_of
from worker.picture.vector import Floats, Indices, Integers

_BLOCK = 200_000
"""Pixels tried at a time: bounds the memory that a few large triangles would take."""

_NOTHING = np.uint64(0xFFFFFFFFFFFFFFFF)
_LOW, _BITS = np.uint64(0xFFFFFFFF), np.uint64(32)


@dataclass(frozen=True)
class Hits:
    """Pixel centres covered by triangles, one entry each: `pixel` is row times width plus column, `depth` as given
    (single precision)."""

    pixel: Indices
    triangle: Indices
    depth: Floats


@dataclass(frozen=True)
class Weighed(Hits):
    """The same with (`u`, `v`), the weights of the triangle's second and third corner."""

    u: Floats
    v: Floats


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
    faces = facing_the_eye(column, row, corners, width, height, facing)
    pixel, owner, deep = _nearest(faces, depth, corners, width, height)
    return Hits(pixel, faces.triangle.take(owner), deep)


def nearest_weighed(
    column: Floats,
    row: Floats,
    depth: Floats,
    corners: Sequence[Integers],
    width: int,
    height: int,
    facing: int,
) -> Weighed:
    """As `nearest`, with the place in the triangle that stands at each pixel centre."""
    faces = facing_the_eye(column, row, corners, width, height, facing)
    pixel, owner, deep = _nearest(faces, depth, corners, width, height)
    down = (pixel // width).astype(np.int32)
    over = (pixel - down.astype(np.int64) * width).astype(np.int32)
    u, v = faces.weights(owner, over - faces.column.take(owner), down - faces.row.take(owner))
    return Weighed(pixel, faces.triangle.take(owner), deep, u, v)


def _nearest(
    faces: Facing, depth: Floats, corners: Sequence[Integers], width: int, height: int
) -> tuple[Indices, Indices, Floats]:
    """Covered pixels, ascending, the number of the nearest triangle among those facing, and its depth."""
    ends = [depth.take(corner.take(faces.triangle)) for corner in corners]
    buffer = np.full(width * height, _NOTHING)
    for pixel, owner, u, v in _covered(faces, width):
        # Depth is positive, so its bits sort like the number; the triangle's number below them breaks ties.
        bits = faces.depths(ends, owner, u, v).view(np.uint32).astype(np.uint64)
        np.minimum.at(buffer, pixel, (bits << _BITS) | owner.astype(np.uint64))
    pixel = np.flatnonzero(buffer != _NOTHING)
    found = buffer.take(pixel)
    return pixel, (found & _LOW).astype(np.int64), (found >> _BITS).astype(np.uint32).view(np.float32)


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
    faces = facing_the_eye(column, row, corners, width, height, facing)
    parts = list(_covered(faces, width))
    if not parts:
        none = np.zeros(0, np.int64)
        return Hits(none, none, np.zeros(0, np.float32))
    pixel, owner, u, v = (np.concatenate(part) for part in zip(*parts, strict=True))
    ends = [depth.take(corner.take(faces.triangle)) for corner in corners]
    return Hits(pixel, faces.triangle.take(owner), faces.depths(ends, owner, u, v))


def _covered(faces: Facing, width: int) -> Iterator[tuple[Indices, Indices, Floats, Floats]]:
    """Pixels, the number of the triangle among those facing, and weights, a block at a time."""
    start = faces.row.astype(np.int64) * width + faces.column
    strips = strips_of(faces)
    for low, high in cuts(strips.count):
        many = strips.count[low:high]
        which = np.repeat(np.arange(low, high), many)
        place = np.arange(len(which), dtype=np.int32)
        place -= np.repeat((np.cumsum(many) - many).astype(np.int32), many)
        wide = strips.wide.take(which)
        down = place // wide
        over = place - down * wide
        face = strips.face.take(which)
        down += strips.down.take(which)
        over += strips.over.take(which)
        u, v = faces.weights(face, over, down)
        hit = np.flatnonzero((u >= -SLACK) & (v >= -SLACK) & (u + v <= 1 + SLACK))
        owner = face.take(hit)
        pixel = start.take(owner) + down.take(hit).astype(np.int64) * width + over.take(hit)
        yield pixel, owner, u.take(hit), v.take(hit)


def cuts(count: Integers | Indices, block: int = _BLOCK) -> Iterator[tuple[int, int]]:
    """Ranges of rows, of so many samples each, that have about one block of them together."""
    ends = np.cumsum(count, dtype=np.int64)
    low = 0
    while low < len(count):
        base = int(ends[low - 1]) if low else 0
        high = max(low + 1, int(np.searchsorted(ends, base + block, "right")))
        yield low, high
        low = high
