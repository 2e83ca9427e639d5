"""What every writer of meshes asks of its arrays before the first byte."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from worker.errors import GeometryFailed

Points = NDArray[np.float64]
"""Rows of three coordinates, or of three components."""

Corners = NDArray[np.int64]
"""Rows of three vertex numbers, counter-clockwise seen from outside."""


def checked_mesh(vertices: ArrayLike, triangles: ArrayLike) -> tuple[Points, Corners]:
    """The mesh as float64 (n, 3) and int64 (m, 3), contiguous.

    Raises GeometryFailed for fewer than the four triangles that a body needs, a coordinate that is not finite, a
    vertex number that does not exist, a triangle that names one vertex twice, and a mesh that encloses no volume or is
    wound inside out.
    """
    points = np.ascontiguousarray(vertices, np.float64)
    corners = np.asarray(triangles)
    if points.ndim != 2 or points.shape[1] != 3 or corners.ndim != 2 or corners.shape[1] != 3:
        raise GeometryFailed("A mesh is rows of three coordinates and rows of three vertex numbers")
    if len(corners) < 4:
        raise GeometryFailed("A body has four triangles or more")
    if not np.isfinite(points).all():
        raise GeometryFailed("A coordinate is not a finite number")
    if corners.dtype.kind not in "iu" or corners.min() < 0 or corners.max() >= len(points):
        raise GeometryFailed("A triangle names a vertex that is not there")
    first, second, third = corners[:, 0], corners[:, 1], corners[:, 2]
    if ((first == second) | (second == third) | (third == first)).any():
        raise GeometryFailed("A triangle names one vertex twice")
    corners = np.ascontiguousarray(corners, np.int64)
    if not volume(points, corners) > 0:
        raise GeometryFailed("The mesh encloses no volume or is wound inside out")
    return points, corners


def cross(first: Points, second: Points) -> Points:
    """Vector products of rows, written out so that no library routine decides the order of the arithmetic."""
    return np.stack(
        [
            first[:, 1] * second[:, 2] - first[:, 2] * second[:, 1],
            first[:, 2] * second[:, 0] - first[:, 0] * second[:, 2],
            first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0],
        ],
        axis=1,
    )


def dot(first: Points, second: Points) -> NDArray[np.float64]:
    """Scalar products of rows, without BLAS."""
    product: NDArray[np.float64] = first[:, 0] * second[:, 0] + first[:, 1] * second[:, 1] + first[:, 2] * second[:, 2]
    return product


def summed(group: NDArray[np.int64], rows: Points, count: int) -> Points:
    """The rows of each of `count` groups added up, always in the order in which they stand."""
    totals: Points = np.stack([np.bincount(group, rows[:, axis], count) for axis in range(3)], axis=1)
    return totals


def area_vectors(points: Points, corners: Corners) -> Points:
    """Per triangle its outward normal times its area."""
    origin = points[corners[:, 0]]
    return 0.5 * cross(points[corners[:, 1]] - origin, points[corners[:, 2]] - origin)


def volume(points: Points, corners: Corners) -> float:
    """Enclosed volume by the divergence theorem, positive where the triangles face outward."""
    return float(dot(points[corners[:, 0]], area_vectors(points, corners)).sum()) / 3
