"""The solid of a bait: one strand as it is, several joined into one surface."""

from __future__ import annotations

from collections.abc import Sequence

import manifold3d
import numpy as np

from worker.errors import GeometryFailed
from worker.solid.flats import without_flats
from worker.solid.parting import parted
from worker.solid.rings import Triangles
from worker.solid.solid import Solid, checked_solid, in_steps
from worker.solid.trunk import meshes_of_one, solid_of
from worker.strands.path import OTHER_SIDE, HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand

SLIVERS_MM = (0.0, 1e-4, 1e-3)
"""Where surfaces graze each other the union leaves corners so close that rounding to 1e-5 mm may fold the surface. Then
it is tried again with edges shorter than this closed up by the kernel; few baits need that."""
CRUMB_MM3 = 1e-3
"""What a union or a hollow leaves loose that is smaller than this is no piece of plastic: it is left out."""


def joined(strands: Sequence[Strand], tolerance: float, hollows: Sequence[Strand] = ()) -> Solid:
    """The union of all strands, in the order given, less the `hollows`. One strand alone goes through no union.

    Raises GeometryFailed.
    """
    if len(strands) == 1 and not hollows:
        return solid_of(strands[0], tolerance)
    return united(meshes_of(strands, tolerance), meshes_of(hollows, tolerance))


def meshes_of(strands: Sequence[Strand], tolerance: float) -> list[tuple[Array, Triangles]]:
    """Vertices and outward triangles of all strands; a handed one's are its counterpart's, turned round."""
    made: dict[int, list[tuple[Array, Triangles]]] = {}
    for strand in strands:
        twin = made.get(id(strand.path.of)) if isinstance(strand.path, HandedPath) else None
        if twin is None:
            made[id(strand.path)] = meshes_of_one(strand, tolerance)
        else:
            made[id(strand.path)] = [(points * OTHER_SIDE, faces[:, ::-1]) for points, faces in twin]
    return [mesh for strand in strands for mesh in made[id(strand.path)]]


Meshes = Sequence[tuple[Array, Triangles]]


def united(meshes: Meshes, taken_out: Meshes = ()) -> Solid:
    """The union of closed meshes, vertices (n, 3) and outward triangles (m, 3) each, less those `taken_out`.

    Raises GeometryFailed.
    """
    union = _union(meshes)
    if taken_out:
        union = manifold3d.Manifold.batch_boolean([union, *bodies(taken_out)], manifold3d.OpType.Subtract)
    return settled(union)


def settled(union: manifold3d.Manifold) -> Solid:
    """What the kernel made, rounded and without crumbs, as a solid whose every edge has two triangles.

    Raises GeometryFailed.
    """
    if union.status() != manifold3d.Error.NoError:
        raise GeometryFailed(f"The strands do not join: {union.status().name}.")
    union = _without_crumbs(union)
    touching: Solid | None = None
    fault = GeometryFailed("The strands do not join.")
    for sliver in SLIVERS_MM:
        mesh = (union.simplify(sliver) if sliver else union).to_mesh64()
        vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
        try:
            solid = whole(checked_solid(*_welded(vertices, np.asarray(mesh.tri_verts).astype(np.int64))))
        except GeometryFailed as error:
            fault = error
            continue
        if _two_at_each_edge(solid.triangles):
            return solid
        touching = touching or solid
    solid_apart = _parted(union) or touching
    if solid_apart is None:
        raise fault
    return solid_apart


PARTINGS = 3
"""How often corners in one place are drawn apart: those that are may lie in the way of others."""


def _parted(union: manifold3d.Manifold) -> Solid | None:
    """The solid with what touches along an edge drawn apart, where the kernel has corners of its own for each side."""
    mesh = union.to_mesh64()
    vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
    triangles = np.asarray(mesh.tri_verts).astype(np.int64)
    for _ in range(PARTINGS):
        vertices = parted(vertices, triangles)
        try:
            solid = whole(checked_solid(*_welded(vertices, triangles)))
        except GeometryFailed:
            return None
        if _two_at_each_edge(solid.triangles):
            return solid
    return None


def _without_crumbs(body: manifold3d.Manifold) -> manifold3d.Manifold:
    parts = body.decompose()
    kept = [part for part in parts if abs(part.volume()) >= CRUMB_MM3]
    return body if len(kept) in (0, len(parts)) else manifold3d.Manifold.compose(kept)


def whole(solid: Solid) -> Solid:
    """The solid without crumbs that came loose only when its corners were rounded and made one.

    Raises GeometryFailed.
    """
    if all(abs(surface.volume()) >= CRUMB_MM3 for surface in solid.surfaces):
        return solid
    mesh = _without_crumbs(solid.body).to_mesh64()
    vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
    return checked_solid(*_welded(vertices, np.asarray(mesh.tri_verts).astype(np.int64)))


def _two_at_each_edge(triangles: Triangles) -> bool:
    """Whether two triangles meet at every edge: where rounding laid two edges in one place there are four."""
    ends = np.sort(np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]]), axis=1)
    edges = np.sort(ends[:, 0] * (int(triangles.max()) + 1) + ends[:, 1])
    return bool((edges[::2] == edges[1::2]).all() and (edges[2::2] != edges[1:-1:2]).all())


def bodies(meshes: Meshes) -> list[manifold3d.Manifold]:
    """The kernel's bodies of closed meshes. Raises GeometryFailed."""
    return [checked_solid(vertices, triangles).body for vertices, triangles in meshes]


def _union(meshes: Meshes) -> manifold3d.Manifold:
    parts = bodies(meshes)
    return parts[0] if len(parts) == 1 else manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add)


def _welded(vertices: Array, triangles: Triangles) -> tuple[Array, Triangles]:
    """The mesh with corners that rounding lays in one place made one, and without triangles that have no area.

    Vertices and triangles then stand in an order of their own places, whatever order the kernel worked in.
    """
    steps = in_steps(vertices)
    order = np.lexsort(steps.T[::-1])
    fresh = np.concatenate([[True], (np.diff(steps[order], axis=0) != 0).any(axis=1)])
    place = np.empty(len(vertices), dtype=np.int64)
    place[order] = np.cumsum(fresh) - 1
    corners = place[triangles]
    corners = corners[(corners != np.roll(corners, 1, axis=1)).all(axis=1)]
    first = corners.argmin(axis=1)
    rows = np.arange(len(corners))
    corners = np.stack([corners[rows, (first + turn) % 3] for turn in range(3)], axis=1)
    corners = _without_flaps(corners[np.lexsort(corners.T[::-1])])
    corners = without_flats(steps[order][fresh], corners)
    used, corners = np.unique(corners, return_inverse=True)
    return vertices[order][fresh][used], corners.reshape(-1, 3)


def _without_flaps(corners: Triangles) -> Triangles:
    """The triangles without those that lie back to back, which enclose nothing: slivers that rounding laid flat."""
    same = np.sort(corners, axis=1)
    order = np.lexsort(same.T[::-1])
    pairs = np.flatnonzero((same[order[1:]] == same[order[:-1]]).all(axis=1))
    flaps = np.concatenate([order[pairs], order[pairs + 1]])
    return np.delete(corners, flaps, axis=0)
