"""A closed triangle mesh made ready for pictures: checked, centred, with its normals."""

from __future__ import annotations

import math
from copy import copy

import numpy as np
from numpy.typing import ArrayLike

from worker.errors import GeometryFailed
from worker.picture.vector import Doubles, Floats, Indices, Integers, columns, gathered, normalised, turned_rows


class Body:
    """A bait's surface, moved so that the middle of its bounding box is the origin.

    `x`, `y`, `z` are single precision columns in mm; `corners` the three columns of vertex numbers of the triangles;
    `shift` (3,) is what was taken from the coordinates, and `height` how high each vertex lies in the mould: of a bait
    that is posed `heights` tell it, else its own z. `floats`: it lies on no ground and throws no shadow.
    Raises GeometryFailed for a mesh that is empty, not finite, has no volume or is wound inside out.
    """

    def __init__(
        self, vertices: ArrayLike, triangles: ArrayLike, heights: ArrayLike | None = None, *, floats: bool = False
    ) -> None:
        points, corners = _checked(vertices, triangles)
        self.height: Floats = np.asarray(points[:, 2] if heights is None else heights, np.float32)
        self.floats = floats
        low, high = points.min(axis=0), points.max(axis=0)
        self.size = tuple(float(side) for side in high - low)
        self.radius = 0.5 * math.sqrt(sum(side * side for side in self.size))
        self.shift: Doubles = (low + high) * 0.5
        points = points - self.shift
        self.floor = float(-0.5 * (high - low)[2])
        self.points: Floats = points.astype(np.float32)
        self.x, self.y, self.z = columns(self.points)
        self.corners: list[Integers] = columns(corners.astype(np.int32))
        self.volume_mm3 = self._set_normals()
        if not self.volume_mm3 > 0:
            raise GeometryFailed("A mesh that encloses no volume, or is wound inside out, has no picture")

    def turned(self, angle: float, upright: bool) -> Body:
        """The same, turned by `angle` radians about the upright or else its long axis, in the room of a turn."""
        other = copy(self)
        other.points, other.vertex_normals, other.face_normals = (
            turned_rows(rows, angle, upright) for rows in (self.points, self.vertex_normals, self.face_normals)
        )
        other.x, other.y, other.z = columns(other.points)
        long, wide, high = self.size
        swept = math.hypot(long, wide) if upright else math.hypot(wide, high)
        other.size = (swept, swept, high) if upright else (long, swept, swept)
        other.floor = self.floor if upright else -0.5 * swept
        return other

    def _set_normals(self) -> float:
        """Face normals, and vertex normals weighted by the area of the faces that meet.

        Returns the volume in mm3 by the divergence theorem: a sixth of the sum of triple products.
        """
        first, second, third = (gathered((self.x, self.y, self.z), corner) for corner in self.corners)
        a = [q - p for p, q in zip(first, second, strict=True)]
        b = [q - p for p, q in zip(first, third, strict=True)]
        normals = np.stack([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]], axis=1)
        around = np.concatenate(self.corners)
        summed = np.empty_like(self.points)
        for axis in range(3):
            share = np.ascontiguousarray(normals[:, axis])
            summed[:, axis] = np.bincount(around, np.concatenate([share] * 3), len(self.points))
        self.vertex_normals: Floats = normalised(summed)
        self.face_normals: Floats = normalised(normals)
        triple = first[0] * normals[:, 0] + first[1] * normals[:, 1] + first[2] * normals[:, 2]
        return float(np.cumsum(triple, dtype=np.float64)[-1]) / 6


def _checked(vertices: ArrayLike, triangles: ArrayLike) -> tuple[Doubles, Indices]:
    points = np.ascontiguousarray(vertices, np.float64)
    corners = np.ascontiguousarray(triangles)
    if points.size == 0 or corners.size == 0:
        raise GeometryFailed("A mesh without triangles has no picture")
    if points.ndim != 2 or points.shape[1] != 3 or corners.ndim != 2 or corners.shape[1] != 3:
        raise GeometryFailed("A mesh is rows of three coordinates and rows of three vertex numbers")
    if not np.isfinite(points).all():
        raise GeometryFailed("A mesh with a coordinate that is not a finite number has no picture")
    if not np.issubdtype(corners.dtype, np.integer) or corners.min() < 0 or corners.max() >= len(points):
        raise GeometryFailed("A triangle names a vertex that is not there")
    return points, corners.astype(np.int64)
