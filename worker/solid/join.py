"""The solid of a bait: one strand as it is, several joined into one surface."""

from __future__ import annotations

from collections.abc import Sequence

import manifold3d
import numpy as np

from worker.errors import GeometryFailed
from worker.solid.rings import Triangles
from worker.solid.solid import DECIMALS, Solid, checked_solid
from worker.solid.trunk import mesh_of, solid_of
from worker.strands.roots import Array
from worker.strands.strand import Strand

SLIVERS_MM = (1e-4, 1e-3)
"""Edges shorter than this are closed up before vertices are rounded to 1e-5 mm: where two surfaces graze each other the
union leaves corners so close that rounding would lay them together and leave triangles without area."""


def joined(strands: Sequence[Strand], tolerance: float) -> Solid:
    """The union of all strands, in the order given. A strand that stands alone goes through no union.

    Raises GeometryFailed.
    """
    if len(strands) == 1:
        return solid_of(strands[0], tolerance)
    return united([mesh_of(strand, tolerance) for strand in strands])


def united(meshes: Sequence[tuple[Array, Triangles]]) -> Solid:
    """The union of closed meshes, vertices (n, 3) and outward triangles (m, 3) each. Raises GeometryFailed."""
    bodies = [checked_solid(vertices, triangles).body for vertices, triangles in meshes]
    union = manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add)
    if union.status() != manifold3d.Error.NoError:
        raise GeometryFailed(f"The strands do not join: {union.status().name}.")
    for sliver in SLIVERS_MM:
        mesh = union.simplify(sliver).to_mesh64()
        vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
        if not _fall_together(vertices):
            return checked_solid(vertices, np.asarray(mesh.tri_verts).astype(np.int64))
    raise GeometryFailed("The joined surface has corners that lie in one place.")


def _fall_together(vertices: Array) -> bool:
    rounded = np.round(vertices, DECIMALS)
    order = np.lexsort(rounded.T)
    steps = np.diff(rounded[order], axis=0)
    return bool((np.abs(steps) < 0.5 * 10.0**-DECIMALS).all(axis=1).any())
