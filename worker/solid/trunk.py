"""The solid of a strand with relief: rings along its path, one mesh, no joining in three dimensions."""

from __future__ import annotations

import math

import numpy as np

from worker.solid.needles import without_needles
from worker.solid.rings import Triangles, largest_radius, place_rings, skin
from worker.solid.root import rooted_skin
from worker.solid.solid import Solid, checked_solid
from worker.strands.fineness import corners
from worker.strands.flare import SMALLER, rolled
from worker.strands.roots import Array
from worker.strands.strand import Strand

Mesh = tuple[Array, Triangles]


def mesh_of(strand: Strand, tolerance: float) -> Mesh:
    """Vertices and outward triangles of a strand with its flare; each connected stretch closes for itself.

    All of the strand, but for what `meshes_of_one` gives besides.
    """
    return meshes_of_one(strand, tolerance)[0]


def meshes_of_one(strand: Strand, tolerance: float) -> list[Mesh]:
    """The meshes whose union is a strand with its flare: one, or its own besides where the flare's cuts it short.

    It does where a thick strand leans over its parent's grooves: the way from its root to far feet is straight.
    """
    body = strand.body
    around = corners(widest(strand), tolerance, body.section)
    flare = rolled(strand, around)
    stretches: list[Mesh] = []
    own: list[Mesh] = []
    for begin, end in body.runs:
        made = None
        while made is None and flare is not None and begin < flare.lowest < end:
            made = rooted_skin(strand, flare, begin, end, around, tolerance)
            if made is None:
                flare = rolled(strand, around, SMALLER * flare.radius)
        if made is None or made.cut_short:
            rings = place_rings(body, strand.path, begin, end, tolerance)
            bare = skin(strand.path, rings, around, body.section)
            (own if made else stretches).append(bare)
        if made is not None:
            stretches.append(made.mesh)
    offsets = np.cumsum([0, *(len(vertices) for vertices, _ in stretches)])
    triangles = [triangles + offset for (_, triangles), offset in zip(stretches, offsets, strict=False)]
    meshes = [(np.concatenate([vertices for vertices, _ in stretches]), np.concatenate(triangles)), *own]
    if body.section.floor is None:
        return meshes
    return [(vertices, without_needles(vertices, triangles)) for vertices, triangles in meshes]


def widest(strand: Strand) -> float:
    """Greatest distance, mm, from the path at which a ring's corners show: a flare's are those half-way up its arc."""
    root, radius = strand.root, largest_radius(strand.body)
    return radius if root is None else max(radius, max(root.reach) - (1 - ARC) * root.blend)


ARC = 1 - math.sqrt(0.5)
"""How far the middle of a ball's arc lies out from a strand that stands upright, over its radius."""


def solid_of(strand: Strand, tolerance: float) -> Solid:
    """The checked solid of one strand. Raises GeometryFailed."""
    return checked_solid(*mesh_of(strand, tolerance))
