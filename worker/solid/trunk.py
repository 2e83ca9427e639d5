"""The solid of a strand with relief: rings along its path, one mesh, no joining in three dimensions."""

from __future__ import annotations

import numpy as np

from worker.solid.rings import Triangles, corners, largest_radius, place_rings, skin
from worker.solid.solid import Solid, checked_solid
from worker.strands.roots import Array
from worker.strands.strand import Strand


def mesh_of(strand: Strand, tolerance: float) -> tuple[Array, Triangles]:
    """Vertices and outward triangles of a strand's body; each connected stretch closes for itself."""
    body = strand.body
    around = corners(largest_radius(body), tolerance, body.section)
    vertices: list[Array] = []
    triangles: list[Triangles] = []
    offset = 0
    for begin, end in body.runs:
        points, faces = skin(strand.path, place_rings(body, strand.path, begin, end, tolerance), around, body.section)
        vertices.append(points)
        triangles.append(faces + offset)
        offset += len(points)
    return np.concatenate(vertices), np.concatenate(triangles)


def solid_of(strand: Strand, tolerance: float) -> Solid:
    """The checked solid of one strand. Raises GeometryFailed."""
    return checked_solid(*mesh_of(strand, tolerance))
