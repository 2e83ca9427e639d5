"""The display mesh: few triangles, closed, near the bait, and shaded by the bait's own normals."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from worker.files.creases import Sides, smooth_sides
from worker.files.mesh_arrays import Corners, Points, area_vectors, checked_mesh, dot
from worker.files.thinning import Thinned, thinned
from worker.solid.simplify import KernelBody

DEVIATION_MM = 0.1
"""How far display mesh and bait may lie apart anywhere."""


@dataclass(frozen=True, slots=True)
class DisplayMesh:
    """A closed mesh with a normal for every corner.

    `vertices` float64 (n, 3) in mm and `triangles` int64 (m, 3) are the closed surface. For drawing, each vertex is
    split into its smooth sides: `owner` int64 (k,) is the vertex of each side, `normals` float64 (k, 3) are of length
    one, `corners` int64 (m, 3) says which side each triangle's corner takes; `triangles == owner[corners]`.
    """

    vertices: Points
    triangles: Corners
    owner: NDArray[np.int64]
    normals: Points
    corners: Corners


def display_mesh(
    vertices: ArrayLike,
    triangles: ArrayLike,
    deviation_mm: float = DEVIATION_MM,
    body: KernelBody | None = None,
) -> DisplayMesh:
    """The display mesh of a closed mesh: `vertices` (n, 3) in mm, `triangles` (m, 3), outward.

    Nowhere farther from the bait than `deviation_mm`, its volume within 1 % and mostly within 0.01 %; a deviation of
    0 keeps the mesh as it is. Normals come from the bait's own faces around each vertex that is left, so that a feeler
    thinned to six sides is still shaded round. `body` is the kernel's body of the same mesh, where there is one
    already; it saves time and changes nothing. Raises GeometryFailed for a mesh that is not closed.
    """
    points, corners = checked_mesh(vertices, triangles)
    thin = thinned(points, corners, deviation_mm, body)
    wanted = np.zeros(len(points), np.bool_)
    wanted[thin.origin] = True
    return _split(thin, smooth_sides(points, corners, wanted))


def _split(thin: Thinned, sides: Sides) -> DisplayMesh:
    """Give every corner, of the sides that its vertex has on the bait, the one that its triangle faces most."""
    faces = area_vectors(thin.kept, thin.triangles)
    facing = np.repeat(faces / np.maximum(np.sqrt(dot(faces, faces)), 1e-300)[:, None], 3, axis=0)
    vertex = thin.triangles.ravel()
    first = np.searchsorted(sides.vertex, thin.origin, "left")[vertex]
    last = np.searchsorted(sides.vertex, thin.origin, "right")[vertex]
    chosen, best = first.copy(), np.full(len(vertex), -np.inf)
    for step in range(int((last - first).max())):
        here = np.flatnonzero(first + step < last)
        side = first[here] + step
        score = dot(facing[here], sides.normal[side]) - 4.0 * sides.blurred[side]
        better = score > best[here]
        best[here[better]], chosen[here[better]] = score[better], side[better]
    used, numbers = np.unique(vertex * len(sides.vertex) + chosen, return_inverse=True)
    owner, side = np.divmod(used, len(sides.vertex))
    corners = numbers.reshape(-1, 3).astype(np.int64)
    return DisplayMesh(thin.placed, thin.triangles, owner, sides.normal[side], corners)
