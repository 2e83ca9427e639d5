"""A display mesh cut where one plastic of a laminate ends and the next begins, each with triangles of its own."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from worker.files.display import DisplayMesh
from worker.files.mesh_arrays import dot


def layered(mesh: DisplayMesh, heights: Sequence[float]) -> tuple[DisplayMesh, NDArray[np.int64]]:
    """The mesh with no triangle across any of the `heights` (mm, falling), and each triangle's layer, 0 the uppermost.

    Surface and volume are the mesh's own: triangles are cut in their planes, both sides of an edge at one place.
    """
    for height in heights:
        mesh = _cut(mesh, height)
    middle = mesh.vertices[mesh.triangles][:, :, 2].mean(axis=1)
    layer = np.zeros(len(mesh.triangles), np.int64)
    for height in heights:
        layer += middle <= height
    return mesh, layer


def _cut(mesh: DisplayMesh, height: float) -> DisplayMesh:
    above = mesh.vertices[:, 2] > height
    count = above[mesh.triangles].sum(axis=1)
    crossing = np.flatnonzero((count == 1) | (count == 2))
    if len(crossing) == 0:
        return mesh
    # Turned so that the corner that is alone on its side comes first.
    sides = above[mesh.triangles[crossing]]
    alone = np.where(count[crossing] == 1, sides.argmax(axis=1), sides.argmin(axis=1))
    row = np.arange(len(crossing))[:, None]
    turned = mesh.corners[crossing][row, (alone[:, None] + np.arange(3)) % 3]
    edges = np.sort(np.concatenate([turned[:, [0, 1]], turned[:, [0, 2]]]), axis=1)
    drawn, drawn_number = np.unique(edges, axis=0, return_inverse=True)
    # An edge is cut at one place, however many sides its ends have; so ends go by their vertices' order.
    ends = np.sort(mesh.owner[drawn], axis=1)
    solid, solid_number = np.unique(ends, axis=0, return_inverse=True)
    low, high = mesh.vertices[solid[:, 0]], mesh.vertices[solid[:, 1]]
    share = (height - low[:, 2]) / (high[:, 2] - low[:, 2])
    placed = low + (high - low) * share[:, None]
    placed[:, 2] = height
    normals = _between(mesh, drawn, height)
    new = len(mesh.owner) + drawn_number.reshape(2, -1)
    a, b, c = turned.T
    p, q = new
    kept = np.flatnonzero((count == 0) | (count == 3))
    corners = np.concatenate(
        [mesh.corners[kept], np.stack([a, p, q], axis=1), np.stack([p, b, c], axis=1), np.stack([p, c, q], axis=1)]
    )
    owner = np.concatenate([mesh.owner, len(mesh.vertices) + solid_number.reshape(-1)])
    vertices = np.concatenate([mesh.vertices, placed])
    return DisplayMesh(vertices, owner[corners], owner, np.concatenate([mesh.normals, normals]), corners)


def _between(mesh: DisplayMesh, drawn: NDArray[np.int64], height: float) -> NDArray[np.float64]:
    """Normals of length one where edges, given by the sides of their ends, are cut."""
    low, high = (mesh.vertices[mesh.owner[drawn[:, end]]][:, 2] for end in (0, 1))
    share = ((height - low) / (high - low))[:, None]
    rows = mesh.normals[drawn[:, 0]] * (1 - share) + mesh.normals[drawn[:, 1]] * share
    length = np.sqrt(dot(rows, rows))[:, None]
    unit: NDArray[np.float64] = np.where(length > 1e-6, rows / np.maximum(length, 1e-6), mesh.normals[drawn[:, 0]])
    return unit
