"""The lamps, and how deep below the surface towards a lamp a point lies."""

from __future__ import annotations

import math

import numpy as np

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.raster import nearest
from worker.picture.vector import Flags, Floats, dot, unit

KEY = (-0.42, 0.80, 0.62)
"""Direction to the main lamp in the picture's right, up, towards: above, left, in front."""

BACK = (0.35, 0.55, -0.75)
"""Direction to the lamp behind the bait, which shines through it."""

_FINEST, _COARSEST = 1500, 280
"""Bounds on the cells of a light map along the body's diagonal."""

_STEEPEST = 6.0
"""Steepest fall of a lit surface, mm in mm, that is followed within a cell."""

_FAR = np.float32(1e9)


def direction(camera: Camera, lamp: tuple[float, float, float]) -> Floats:
    """Unit direction to a lamp that stands fixed to the camera."""
    right, up, back = (q.astype(np.float64) for q in (camera.right, camera.up, camera.back))
    return unit(lamp[0] * right + lamp[1] * up + lamp[2] * back)


class LightMap:
    """The body as a lamp sees it, far away: the depth of the lit surface over a grid.

    The grid's `cell_mm` follows the picture's scale, so that a large picture shows no steps in its shadows.
    """

    def __init__(self, body: Body, camera: Camera, toward: Floats) -> None:
        self.toward = toward
        flat = np.array([1.0, 0.0, 0.0]) if abs(float(toward[0])) < 0.9 else np.array([0.0, 1.0, 0.0])
        self._first = unit(np.cross(toward.astype(np.float64), flat))
        self._second = unit(np.cross(toward.astype(np.float64), self._first.astype(np.float64)))
        across_body = min(_FINEST, max(_COARSEST, 0.6 * camera.scale * 2 * body.radius))
        cells_per_mm = across_body / (2 * body.radius)
        self.cell_mm = 1 / cells_per_mm
        self._scale = np.float32(cells_per_mm)
        self._base = np.float32(4 * body.radius)
        across, along = dot(body.points, self._first), dot(body.points, self._second)
        self._left, self._low = np.float32(across.min()), np.float32(along.min())
        self.width = math.ceil(float(across.max() - self._left) * cells_per_mm) + 3
        self.height = math.ceil(float(along.max() - self._low) * cells_per_mm) + 3
        depth = self._base - dot(body.points, toward)
        column, row = (across - self._left) * self._scale + 1, (along - self._low) * self._scale + 1
        hits = nearest(column, row, depth, body.corners, self.width, self.height, 1)
        self._depth = np.full(self.width * self.height, _FAR)
        self._depth[hits.pixel] = hits.depth
        normal = body.face_normals.take(hits.triangle, axis=0)
        inverse = np.float32(self.cell_mm) / np.maximum(dot(normal, toward), np.float32(0.05))
        steepest = np.float32(_STEEPEST * self.cell_mm)
        self._slope_x, self._slope_y = np.zeros_like(self._depth), np.zeros_like(self._depth)
        self._slope_x[hits.pixel] = np.clip(dot(normal, self._first) * inverse, -steepest, steepest)
        self._slope_y[hits.pixel] = np.clip(dot(normal, self._second) * inverse, -steepest, steepest)

        self._filled: Flags = self._depth < _FAR
        self._widen()

    def _widen(self) -> None:
        """Carry the outline's cells on by one cell: rounding puts points of the outline just outside of it."""
        filled = self._filled.reshape(self.height, self.width)
        number = np.arange(self.height * self.width, dtype=np.int32).reshape(self.height, self.width)
        source = np.where(filled, number, np.int32(-1))
        for axis, step in ((0, 1), (0, -1), (1, 1), (1, -1)):
            moved = np.roll(np.where(filled, number, np.int32(-1)), step, axis=axis)  # the rim of the grid is empty
            source = np.where(source < 0, moved, source)
        to = np.flatnonzero((source.ravel() >= 0) & ~self._filled)
        taken = source.ravel().take(to)
        across = (to % self.width - taken % self.width).astype(np.float32)
        along = (to // self.width - taken // self.width).astype(np.float32)
        slope_x, slope_y = self._slope_x.take(taken), self._slope_y.take(taken)
        self._slope_x[to], self._slope_y[to] = slope_x, slope_y
        self._depth[to] = self._depth.take(taken) + slope_x * across + slope_y * along

    def cover(self) -> Flags:
        """Which cells the body stands in, `height` by `width`."""
        return self._filled.reshape(self.height, self.width)

    def place(self, points: Floats) -> tuple[Floats, Floats]:
        """Columns and rows, with fractions, at which points lie in the grid."""
        column = (dot(points, self._first) - self._left) * self._scale + 1
        row = (dot(points, self._second) - self._low) * self._scale + 1
        return column, row

    def depth(self, points: Floats, shift_x: Floats | float = 0.0, shift_y: Floats | float = 0.0) -> Floats:
        """How far in mm points lie behind the lit surface: positive inside the body and in its shadow.

        The shifts move the look-up by so many cells, to sample a soft shadow. A cell's surface is carried on as a
        plane to the point asked for, so that no steps show and a slanting surface does not shade itself.
        """
        column, row = self.place(points)
        across = np.clip((column + shift_x).astype(np.int32), 0, self.width - 1)
        along = np.clip((row + shift_y).astype(np.int32), 0, self.height - 1)
        cell = along * self.width + across
        surface = self._depth.take(cell)
        surface += self._slope_x.take(cell) * (column - across - np.float32(0.5))
        surface += self._slope_y.take(cell) * (row - along - np.float32(0.5))
        behind: Floats = self._base - dot(points, self.toward) - surface
        return behind
