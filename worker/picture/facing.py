"""The triangles of a mesh that face the eye, with the rectangles of pixels around them and their corners' weights."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.picture.vector import Floats, Indices, Integers, gathered

SLACK = np.float32(2e-4)
"""Weights this far outside still count: else a pixel on the edge of two triangles could fall to neither by rounding."""

_HALF = np.float32(0.5)


@dataclass(frozen=True)
class Facing:
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


def facing_the_eye(
    column: Floats, row: Floats, corners: Sequence[Integers], width: int, height: int, facing: int
) -> Facing:
    """The triangles that can cover a pixel centre; arguments as for `raster.crossings`."""
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
    return Facing(
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
