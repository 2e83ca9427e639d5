"""Where triangles are looked for: small ones in the whole rectangle around them, large ones row by row or column by
column, whichever are fewer.

A long thin triangle that lies aslant covers little of its rectangle: without strips a tube with cuts takes twenty times
as long, and without columns one that stands upright twice as long.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.picture.facing import SLACK, Facing
from worker.picture.vector import Doubles, Floats, Indices, Integers

_LARGE = 48
"""Pixels of the rectangle around a triangle, beyond which it is looked for strip by strip."""

_SPARE = 0.25
"""Pixels more at both ends of a strip: weights are of single precision, which moves an edge by far less."""


@dataclass(frozen=True)
class Strips:
    """Rectangles of pixels that triangles are looked for in: `face` is the triangle's number among those facing,
    (`over`, `down`) the first pixel from the triangle's own first, `wide` by `count` / `wide` pixels."""

    face: Indices
    over: Integers
    down: Integers
    wide: Integers
    count: Integers


def strips_of(faces: Facing) -> Strips:
    """One rectangle a small triangle, and one a row or a column of a large one, in the triangles' order."""
    every = np.arange(len(faces.count))
    none = np.zeros(len(every), np.int32)
    large = np.flatnonzero(faces.count > _LARGE)
    if len(large) == 0:
        return Strips(every, none, none, faces.wide, faces.count)
    tall = faces.count.take(large) // faces.wide.take(large)
    lying = faces.wide.take(large) >= tall
    rows = _lines(faces, large[lying], tall[lying], faces.wide, (faces.u_x, faces.v_x), (faces.u_y, faces.v_y))
    upright = large[~lying]
    highs = np.zeros(len(every), np.int32)
    highs[large] = tall
    across = faces.wide.take(upright)
    columns = _lines(faces, upright, across, highs, (faces.u_y, faces.v_y), (faces.u_x, faces.v_x))
    small = np.flatnonzero(faces.count <= _LARGE)
    one = np.ones(len(columns[0]), np.int32)
    # In the triangles' own order, in which ties in depth are broken.
    face = np.concatenate([small, rows[0], columns[0]])
    order = np.argsort(face, kind="stable")
    parts = (
        (none.take(small), rows[2], columns[1]),
        (none.take(small), rows[1], columns[2]),
        (faces.wide.take(small), rows[3], one),
        (faces.count.take(small), rows[3], columns[3]),
    )
    found = (np.concatenate(part).take(order).astype(np.int32) for part in parts)
    return Strips(face.take(order), *found)


def _lines(
    faces: Facing, large: Indices, lines: Integers, most: Integers, along: Sequence[Floats], across: Sequence[Floats]
) -> tuple[Indices, Indices, Indices, Indices]:
    """The lines of pixels that cover `large` triangles of so many `lines`: the triangle of each, the line's number in
    it, the first pixel and how many.

    `along` and `across` are how the two weights grow along a line and from one to the next, `most` the pixels that a
    triangle's lines can have.
    """
    face = np.repeat(large, lines)
    line = np.arange(len(face)) - np.repeat(np.cumsum(lines, dtype=np.int64) - lines, lines)
    starts = zip((faces.u_0, faces.v_0), across, strict=True)
    u, v = (start.take(face).astype(np.float64) + step.take(face).astype(np.float64) * line for start, step in starts)
    u_slope, v_slope = (slope.take(face).astype(np.float64) for slope in along)
    first, last = _span((u, v, 1 - u - v), (u_slope, v_slope, -u_slope - v_slope), most.take(face) - 1)
    kept = np.flatnonzero(last >= first)
    return face.take(kept), line.take(kept), first.take(kept), (last - first + 1).take(kept)


def _span(weights: Sequence[Doubles], slopes: Sequence[Doubles], end: Integers) -> tuple[Indices, Indices]:
    """First and last pixel of each line; the last before the first: none."""
    first, last = np.zeros(len(end)), end.astype(np.float64)
    # Each of the three weights is at least zero to one side of where it is zero in this line.
    for at, slope in zip(weights, slopes, strict=True):
        room = at + float(SLACK)
        edge = -room / np.where(slope == 0, 1.0, slope)
        first = np.where(slope > 0, np.maximum(first, edge - _SPARE), first)
        last = np.where(slope < 0, np.minimum(last, edge + _SPARE), last)
        last = np.where((slope == 0) & (room < 0), -1.0, last)
    return np.maximum(np.ceil(first), 0).astype(np.int64), np.minimum(np.floor(last), end).astype(np.int64)
