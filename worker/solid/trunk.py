"""The solid of a strand with relief: rings along its path, one mesh, no joining in three dimensions."""

from __future__ import annotations

import math

import numpy as np

from worker.solid.rings import Triangles, largest_radius, place_rings, skin
from worker.solid.root import rooted_skin
from worker.solid.solid import Solid, checked_solid
from worker.strands.fineness import corners
from worker.strands.flare import rolled
from worker.strands.roots import Array
from worker.strands.strand import Strand


def mesh_of(strand: Strand, tolerance: float) -> tuple[Array, Triangles]:
    """Vertices and outward triangles of a strand with its flare; each connected stretch closes for itself."""
    body = strand.body
    around = corners(widest(strand), tolerance, body.section)
    flare = rolled(strand, around)
    vertices: list[Array] = []
    triangles: list[Triangles] = []
    offset = 0
    for begin, end in body.runs:
        if flare is not None and begin < flare.lowest < end:
            points, faces = rooted_skin(strand, flare, begin, end, around, tolerance)
        else:
            rings = place_rings(body, strand.path, begin, end, tolerance)
            points, faces = skin(strand.path, rings, around, body.section)
        vertices.append(points)
        triangles.append(faces + offset)
        offset += len(points)
    return np.concatenate(vertices), np.concatenate(triangles)


def widest(strand: Strand) -> float:
    """Greatest distance, mm, from the path at which a ring's corners show: a flare's are those half-way up its arc."""
    root, radius = strand.root, largest_radius(strand.body)
    return radius if root is None else max(radius, max(root.reach) - (1 - ARC) * root.blend)


ARC = 1 - math.sqrt(0.5)
"""How far the middle of a ball's arc lies out from a strand that stands upright, over its radius."""


def solid_of(strand: Strand, tolerance: float) -> Solid:
    """The checked solid of one strand. Raises GeometryFailed."""
    return checked_solid(*mesh_of(strand, tolerance))
