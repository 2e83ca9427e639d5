"""Fewer triangles for a closed mesh, proved to lie near it and to hold its volume."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from worker.files.mesh_arrays import Corners, Points, area_vectors, dot, summed, volume
from worker.files.nearness import beyond, spread
from worker.solid.simplify import KernelBody, closed_body, simplifications

VOLUME_SHARE = 0.01
"""By what share of its volume a mesh may be off when it is thinned."""

_PULL = 0.8
"""Share of the deviation from which a corner that has been cut off is given back to the thinned mesh."""

_FEW, _MANY = 18_000, 56_000
"""Triangles that a worm and a craw may show: at 12 to 14 bytes each a worm stays under 250 kB, a craw under 800 kB."""

_PLACES_MM = 1.4
"""How close the places on a thinned mesh lie that are held against the full one: one in a triangle of middling size,
six and more in a large one. Its corners need no such test, for they are the full one's own."""


@dataclass(frozen=True, slots=True)
class Thinned:
    """A closed mesh of fewer triangles: where its vertices lay on the full mesh, which of that mesh's vertices they
    are (`origin`), the triangles between them, and where the vertices are `placed` to keep the volume."""

    kept: Points
    origin: NDArray[np.int64]
    triangles: Corners
    placed: Points


def thinned(points: Points, corners: Corners, deviation_mm: float, body: KernelBody | None = None) -> Thinned:
    """The mesh with fewer triangles, or as it is where it has few or none of the thinned ones holds.

    What comes out is nowhere farther than `deviation_mm` from the full mesh, nor that from it, and its volume is
    within 1 %. `body` is the kernel's body of the same mesh, where there is one already. Raises GeometryFailed for a
    mesh that is not closed.
    """
    enough = min(max(_FEW, len(corners) * 3 // 5 - 12_000), _MANY)
    if len(corners) > enough and deviation_mm > 0:
        in_use = np.unique(corners)
        tree = cKDTree(points[in_use])
        wanted = volume(points, corners)
        for kept, triangles in simplifications(body or closed_body(points, corners), deviation_mm, enough):
            origin = in_use[tree.query(kept)[1]]
            placed = _placed(points, Thinned(kept, origin, triangles, _swollen(kept, triangles, wanted)), deviation_mm)
            if placed is not None and _holds(points, corners, placed, triangles, wanted, deviation_mm):
                return Thinned(kept, origin, triangles, placed)
    return Thinned(points, np.arange(len(points)), corners, points)


def _swollen(kept: Points, triangles: Corners, wanted_mm3: float) -> Points:
    """The vertices moved along their normals, all by the same way, so that the volume is the wanted one again."""
    areas = np.repeat(area_vectors(kept, triangles) / 3, 3, axis=0)
    around = summed(triangles.ravel(), areas, len(kept))
    normal = around / np.maximum(np.sqrt(dot(around, around)), 1e-300)[:, None]
    way = (wanted_mm3 - volume(kept, triangles)) / float(dot(normal, around).sum())
    return kept + normal * round(way, 6)


def _placed(points: Points, thin: Thinned, deviation_mm: float) -> Points | None:
    """Where to put the vertices so that no vertex of the full mesh is farther than the deviation, or None.

    Where corners have been cut off, the nearest vertex is pulled to the farthest of them.
    """
    lost = np.ones(len(points), np.bool_)
    lost[thin.origin] = False
    far, away = beyond(points[lost], thin.placed, thin.triangles, _PULL * deviation_mm)
    if len(far) == 0:
        return thin.placed
    corners = points[lost][far[np.argsort(-away, kind="stable")]]
    vertex, first = np.unique(cKDTree(thin.placed).query(corners)[1], return_index=True)
    placed = thin.placed.copy()
    placed[vertex] = corners[first]
    return None if len(beyond(points, placed, thin.triangles, deviation_mm)[0]) else placed


def _holds(
    points: Points, corners: Corners, placed: Points, triangles: Corners, wanted_mm3: float, deviation_mm: float
) -> bool:
    """Whether the volume is as promised, and no place of the thinned mesh is too far from the full one."""
    if abs(volume(placed, triangles) - wanted_mm3) > VOLUME_SHARE * wanted_mm3:
        return False
    drawn, _ = spread(placed, triangles, _PLACES_MM)
    return len(beyond(drawn, points, corners, deviation_mm)[0]) == 0
