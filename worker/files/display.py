"""The display mesh: fewer triangles, still closed, near the bait, shaded by the bait's own normals."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import manifold3d
import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial import cKDTree

from worker.errors import GeometryFailed
from worker.files.creases import Sides, smooth_sides
from worker.files.mesh_arrays import Corners, Points, area_vectors, checked_mesh, dot, volume
from worker.files.nearness import STEP_MM, all_within, spread

DEVIATION_MM = 0.1
"""How far display mesh and bait may lie apart anywhere."""

VOLUME_SHARE = 0.01
"""By what share of the bait's volume the display mesh may be off."""

_FINE, _MIDDLING, _COARSE = 0.25, 0.45, 0.8
"""Shares of the deviation given to the simplification as its tolerance. It moves smooth surfaces by no more than that,
but was seen to move sharp corners where details meet by up to ten times as much; hence the proof of each result."""

_FEW, _MANY = 18_000, 56_000
"""Triangles that a worm and a craw may show: at 12 to 14 bytes each a worm stays under 250 kB, a craw under 800 kB."""


@dataclass(frozen=True, slots=True)
class DisplayMesh:
    """A closed mesh with a normal for every corner.

    `vertices` float64 (n, 3) in mm and `triangles` int64 (m, 3) are the closed surface. For drawing, each vertex is
    split into its smooth sides: `owner` (k,) the vertex of each side, `normals` float64 (k, 3) of length one, and
    `corners` int64 (m, 3) the side that each triangle's corner takes, so that `triangles == owner[corners]`.
    """

    vertices: Points
    triangles: Corners
    owner: NDArray[np.int64]
    normals: Points
    corners: Corners


def display_mesh(
    vertices: ArrayLike, triangles: ArrayLike, deviation_mm: float = DEVIATION_MM
) -> DisplayMesh:
    """The display mesh of a closed mesh: `vertices` (n, 3) in mm, `triangles` (m, 3), outward.

    Nowhere farther from the bait than `deviation_mm`, volume within 1 %; both are proved on the result, and a finer
    simplification, at last none at all, is taken where a coarser one does not hold them. A deviation of 0 keeps the
    mesh as it is. Normals come from the bait's own faces around each vertex that is left, so that a feeler thinned
    to six sides is still shaded round. Raises GeometryFailed for a mesh that is not closed.
    """
    points, corners = checked_mesh(vertices, triangles)
    kept, surface, placed = _thinned(points, corners, deviation_mm)
    origin = np.asarray(cKDTree(points).query(kept)[1], np.int64) if kept is not points else np.arange(len(points))
    wanted = np.zeros(len(points), np.bool_)
    wanted[origin] = True
    sides = smooth_sides(points, corners, wanted)
    return _split(kept, surface, placed, origin, sides)


def _thinned(points: Points, corners: Corners, deviation_mm: float) -> tuple[Points, Corners, Points]:
    """Vertices that are left, triangles between them, and where the vertices are put to keep the volume."""
    enough = min(max(_FEW, len(corners) * 3 // 5 - 12_000), _MANY)
    if len(corners) > enough and deviation_mm > 0:
        wanted = volume(points, corners)
        for solid in _simplifications(points, corners, deviation_mm, enough):
            mesh = solid.to_mesh64()
            kept, surface = np.array(mesh.vert_properties[:, :3]), np.array(mesh.tri_verts, np.int64)
            placed = _swollen(kept, surface, wanted)
            if _holds(points, corners, placed, surface, wanted, deviation_mm):
                return kept, surface, placed
    return points, corners, points


def _simplifications(
    points: Points, corners: Corners, deviation_mm: float, enough: int
) -> Iterator[manifold3d.Manifold]:
    """Simpler solids in the order in which to try them: a fine one if that is simple enough, else coarse ones first."""
    solid = manifold3d.Manifold(manifold3d.Mesh64(points, corners.astype(np.uint64)))
    if solid.status() != manifold3d.Error.NoError:
        raise GeometryFailed(f"The mesh is no closed surface: {solid.status().name}")
    fine = solid.simplify(_FINE * deviation_mm)
    if fine.num_tri() > enough:
        yield fine.simplify(_COARSE * deviation_mm)
        yield fine.simplify(_MIDDLING * deviation_mm)
    yield fine


def _swollen(kept: Points, surface: Corners, wanted_mm3: float) -> Points:
    """The vertices moved along their normals, all by the same way, so that the volume is the wanted one again."""
    areas = np.repeat(area_vectors(kept, surface) / 3, 3, axis=0)
    around = np.stack(
        [np.bincount(surface.ravel(), areas[:, axis], len(kept)) for axis in range(3)], axis=1
    )
    normal = around / np.maximum(np.sqrt(dot(around, around)), 1e-300)[:, None]
    way = (wanted_mm3 - volume(kept, surface)) / float(dot(normal, around).sum())
    return kept + normal * round(way, 6)


def _holds(
    points: Points, corners: Corners, placed: Points, surface: Corners, wanted_mm3: float, deviation_mm: float
) -> bool:
    """Whether volume and nearness, both ways, are as promised."""
    if abs(volume(placed, surface) - wanted_mm3) > VOLUME_SHARE * wanted_mm3:
        return False
    drawn, _ = spread(placed, surface, STEP_MM)
    return all_within(drawn, points, corners, deviation_mm) and all_within(points, placed, surface, deviation_mm)


def _split(
    kept: Points, surface: Corners, placed: Points, origin: NDArray[np.int64], sides: Sides
) -> DisplayMesh:
    """Give every corner, of the sides that its vertex has on the bait, the one that its triangle faces most."""
    faces = area_vectors(kept, surface)
    facing = np.repeat(faces / np.maximum(np.sqrt(dot(faces, faces)), 1e-300)[:, None], 3, axis=0)
    vertex = surface.ravel()
    first = np.searchsorted(sides.vertex, origin, "left")[vertex]
    last = np.searchsorted(sides.vertex, origin, "right")[vertex]
    chosen, best = first.copy(), np.full(len(vertex), -np.inf)
    for step in range(int((last - first).max())):
        here = np.flatnonzero(first + step < last)
        side = first[here] + step
        score = dot(facing[here], sides.normal[side]) - 4.0 * sides.blurred[side]
        better = score > best[here]
        best[here[better]], chosen[here[better]] = score[better], side[better]
    used, numbers = np.unique(vertex * len(sides.vertex) + chosen, return_inverse=True)
    owner, side = np.divmod(used, len(sides.vertex))
    return DisplayMesh(placed, surface, owner, sides.normal[side], numbers.reshape(-1, 3).astype(np.int64))
