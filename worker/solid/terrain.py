"""The body under a face that is flat but for patches of a height field: what one half of a mould is cut from."""

from __future__ import annotations

from collections.abc import Sequence

import manifold3d
import numpy as np

from worker.solid.rings import Triangles
from worker.solid.shapes import Mesh, Place
from worker.strands.roots import Array


def terrain(low: Place, high: Place, floor: float, patches: Sequence[Array]) -> Mesh:
    """From z = `floor` up to the face over a rectangle: 0 and over each patch, (n, m, 3), the heights of its nodes.

    Patches lie apart, turned by whole quarters, their outermost nodes at 0 and not on the rectangle's edge. Squares are
    two triangles that meet from node (i, j) to (i + 1, j + 1).
    """
    (x0, y0), (x1, y1) = low, high
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], dtype=np.float64)
    rims = [_rim(patch.shape[0], patch.shape[1]) for patch in patches]
    nodes = [patch.reshape(-1, 3) for patch in patches]
    starts = (len(corners) + np.cumsum([0, *(len(each) for each in nodes)])).tolist()
    rings = [corners, *(points[rim][::-1, :2] for points, rim in zip(nodes, rims, strict=True))]
    owners = np.concatenate([np.arange(4), *(start + rim[::-1] for start, rim in zip(starts, rims, strict=False))])
    flat = np.asarray(manifold3d.triangulate([np.ascontiguousarray(ring) for ring in rings]), dtype=np.int64)
    tops = [owners[flat], *(start + _squares(*patch.shape[:2]) for start, patch in zip(starts, patches, strict=False))]
    under = starts[-1] + np.arange(4)
    here, ahead = np.arange(4), (np.arange(4) + 1) % 4
    sides = [
        np.stack([under[here], under[ahead], ahead], axis=1),
        np.stack([under[here], ahead, here], axis=1),
        np.array([[under[0], under[2], under[1]], [under[0], under[3], under[2]]]),
    ]
    vertices = np.concatenate(
        [np.column_stack([corners, np.zeros(4)]), *nodes, np.column_stack([corners, np.full(4, floor)])]
    )
    return vertices, np.concatenate([*tops, *sides]).astype(np.int64)


def _rim(rows: int, columns: int) -> Triangles:
    """The outermost nodes of a patch, counter-clockwise."""
    node = np.arange(rows * columns).reshape(rows, columns)
    return np.concatenate([node[:-1, 0], node[-1, :-1], node[:0:-1, -1], node[0, :0:-1]])


def _squares(rows: int, columns: int) -> Triangles:
    """The triangles of a patch, upward."""
    node = np.arange(rows * columns).reshape(rows, columns)
    here, along, across, both = node[:-1, :-1], node[1:, :-1], node[:-1, 1:], node[1:, 1:]
    right = np.stack([here, along, both], axis=-1).reshape(-1, 3)
    left = np.stack([here, both, across], axis=-1).reshape(-1, 3)
    return np.concatenate([right, left])
