"""Where triangles are looked for: small ones in the whole rectangle around them, large ones row by row.

A long thin triangle that lies aslant covers little of its rectangle: without rows a tube with cuts takes twenty times
as long.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.picture.facing import SLACK, Facing
from worker.picture.vector import Indices, Integers

_LARGE = 48
"""Pixels of the rectangle around a triangle, beyond which it is looked for row by row."""


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
    """One rectangle a small triangle, and one a row of a large one, in the triangles' order."""
    every = np.arange(len(faces.count))
    none = np.zeros(len(every), np.int32)
    whole = Strips(every, none, none, faces.wide, faces.count)
    large = np.flatnonzero(faces.count > _LARGE)
    if len(large) == 0:
        return whole
    rows = faces.count.take(large) // faces.wide.take(large)
    face = np.repeat(large, rows)
    down = np.arange(len(face)) - np.repeat(np.cumsum(rows) - rows, rows)
    first, last = _span(faces, face, down)
    kept = np.flatnonzero(last >= first)
    face, over, wide = face.take(kept), first.take(kept), (last - first + 1).take(kept)
    small = np.flatnonzero(faces.count <= _LARGE)
    # In the triangles' own order, in which ties in depth are broken.
    order = np.argsort(np.concatenate([small, face]), kind="stable")
    parts = (
        (small, face),
        (whole.over.take(small), over),
        (whole.down.take(small), down.take(kept)),
        (whole.wide.take(small), wide),
        (whole.count.take(small), wide),
    )
    found = [np.concatenate(part).take(order) for part in parts]
    return Strips(found[0], *(part.astype(np.int32) for part in found[1:]))


def _span(faces: Facing, face: Indices, down: Indices) -> tuple[Indices, Indices]:
    """First and last pixel of each triangle in a row, a pixel more on both sides; the last before the first: none."""
    first, last = np.zeros(len(face)), (faces.wide.take(face) - 1).astype(np.float64)
    u, u_x, u_y, v, v_x, v_y = (
        each.take(face).astype(np.float64)
        for each in (faces.u_0, faces.u_x, faces.u_y, faces.v_0, faces.v_x, faces.v_y)
    )
    u, v = u + u_y * down, v + v_y * down
    # Each of the three weights is at least zero to one side of where it is zero in this row.
    for at, slope in ((u, u_x), (v, v_x), (1 - u - v, -u_x - v_x)):
        room = at + float(SLACK)
        edge = -room / np.where(slope == 0, 1.0, slope)
        first = np.where(slope > 0, np.maximum(first, edge - 1), first)
        last = np.where(slope < 0, np.minimum(last, edge + 1), last)
        last = np.where((slope == 0) & (room < 0), -1.0, last)
    most = faces.wide.take(face) - 1
    return np.maximum(np.ceil(first), 0).astype(np.int64), np.minimum(np.floor(last), most).astype(np.int64)
