"""Normals that run smooth where a surface is smooth and break where it is creased."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from worker.errors import GeometryFailed
from worker.files.mesh_arrays import Corners, Points, area_vectors, cross, dot, summed

CREASE_DEGREES = 40.0
"""Two faces whose normals differ by more meet in a crease. The coarsest feeler's facets differ by 36, a groove's
flanks by 60 and more."""

_FLAT_MM = 2e-4
"""A triangle lower than this says nothing of where its surface faces: corners lie on a grid of 1e-5 mm."""


@dataclass(frozen=True, slots=True)
class Sides:
    """The smooth sides of vertices: one for a vertex on a smooth surface, two or more on a crease.

    `vertex` (k,) ascending, `normal` (k, 3) of length one, `blurred` (k,) true where only triangles too flat to face
    anywhere make up the side.
    """

    vertex: NDArray[np.int64]
    normal: Points
    blurred: NDArray[np.bool_]


def smooth_sides(points: Points, corners: Corners, wanted: NDArray[np.bool_]) -> Sides:
    """The sides of the vertices `wanted` (n,), each normal the mean of its faces weighted by their angle there.

    Angle weights do not depend on how a flat face is cut into triangles (Thurmer and Wuthrich, Computing vertex
    normals from polygonal facets, Journal of Graphics Tools 3 (1), 1998). Faces belong to one side where they
    hang together over edges that are no crease. Raises GeometryFailed where an edge has not two triangles.
    """
    faces = area_vectors(points, corners)
    areas = np.sqrt(dot(faces, faces))
    longest = np.zeros(len(corners))
    for slot in range(3):
        edge = points[corners[:, (slot + 1) % 3]] - points[corners[:, slot]]
        longest = np.maximum(longest, np.sqrt(dot(edge, edge)))
    facing = 2.0 * areas > _FLAT_MM * longest
    unit = faces / np.maximum(areas, 1e-300)[:, None]

    ids = np.full(corners.size, -1)
    used = np.flatnonzero(wanted[corners.ravel()])
    ids[used] = np.arange(len(used))
    first, second = _smooth_links(corners, unit, facing)
    linked = (ids[first] >= 0) & (ids[second] >= 0)
    ends = (ids[first[linked]], ids[second[linked]])
    graph = coo_array((np.ones(len(ends[0]), np.int8), ends), shape=(len(used), len(used)))
    count, side = connected_components(graph, directed=False)

    angle = _angles(points, corners, used)
    weight = np.where(facing[used // 3], angle, 0.0)
    blurred = np.bincount(side, weight, count) == 0.0
    weight = np.where(blurred[side], angle, weight)
    share = unit[used // 3] * weight[:, None]
    total = summed(side, share, count)
    normal = total / np.maximum(np.sqrt(dot(total, total)), 1e-300)[:, None]
    vertex = np.zeros(count, np.int64)
    vertex[side] = corners.ravel()[used]
    order = np.argsort(vertex, kind="stable")
    return Sides(vertex[order], normal[order], blurred[order])


def _smooth_links(
    corners: Corners, unit: Points, facing: NDArray[np.bool_]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs of corners (3 x triangle + place) that share a vertex and an edge without a crease."""
    start, end = corners.ravel(), np.roll(corners, -1, axis=1).ravel()
    key = np.minimum(start, end) * (int(corners.max()) + 1) + np.maximum(start, end)
    order = np.argsort(key, kind="stable")
    key = key[order]
    if len(key) % 2 or (key[0::2] != key[1::2]).any():
        raise GeometryFailed("An edge of the mesh has not two triangles")
    one, other = order[0::2], order[1::2]
    if (start[one] == start[other]).any():
        raise GeometryFailed("Two triangles of the mesh run the same way along their edge")
    smooth = facing[one // 3] & facing[other // 3]
    smooth &= dot(unit[one // 3], unit[other // 3]) >= cos(radians(CREASE_DEGREES))
    one, other = one[smooth], other[smooth]
    following = np.arange(corners.size).reshape(-1, 3)[:, [1, 2, 0]].ravel()
    return np.concatenate([one, following[one]]), np.concatenate([following[other], other])


def _angles(points: Points, corners: Corners, used: NDArray[np.int64]) -> NDArray[np.float64]:
    """The triangle's angle at each of the corners `used`, in radians."""
    triangle, place = corners[used // 3], used % 3
    row = np.arange(len(used))
    here = points[triangle[row, place]]
    ahead = points[triangle[row, (place + 1) % 3]] - here
    back = points[triangle[row, (place + 2) % 3]] - here
    normal = cross(ahead, back)
    return angle(np.sqrt(dot(normal, normal)), dot(ahead, back))


HALVINGS = 2
"""Of half an angle, before its tangent is small enough for a few terms of the series."""


def angle(sine: NDArray[np.float64], cosine: NDArray[np.float64]) -> NDArray[np.float64]:
    """The angle, 0 to pi, whose sine, not below 0, and cosine are in this ratio; within 1e-10 of `arctan2`.

    NumPy's own depends in its last bit on the vectors of the processor, and with it the bytes of a file would. This
    takes roots and sums alone: tan(a / 2) = sin a / (1 + cos a) again and again, then Gregory's series.
    """
    length = np.sqrt(sine * sine + cosine * cosine)
    tangent = sine / np.maximum(length + np.abs(cosine), np.finfo(np.float64).tiny)
    for _ in range(HALVINGS):
        tangent = tangent / (1.0 + np.sqrt(1.0 + tangent * tangent))
    square = tangent * tangent
    series = np.zeros_like(square)
    for power in (13, 11, 9, 7, 5, 3):
        series = square * (1.0 / power - series)
    acute = 2.0 * 2**HALVINGS * tangent * (1.0 - series)
    return np.asarray(np.where(cosine < 0, np.pi - acute, acute))
