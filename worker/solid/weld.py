"""Corners that rounding has put at one place, made one corner: a reader of STL would do so and find the mesh open."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from worker.solid.rings import Triangles
from worker.strands.roots import Array


def welded(vertices: Array, triangles: Triangles) -> tuple[Array, Triangles]:
    """The same surface without edges of no length and the triangles on them; shapes (n, 3) and (m, 3).

    Such an edge stands where a flat face narrows to nothing: two sections of an oval strand at one station that are as
    high as each other and not as wide.
    """
    # One number a corner finds the few edges worth a look: equal corners have equal numbers.
    number = (vertices[:, 0] + vertices[:, 1] * np.pi + vertices[:, 2] * np.e)[triangles]
    pairs = [triangles[number[:, one] == number[:, other]][:, [one, other]] for one, other in ((0, 1), (1, 2), (2, 0))]
    edges = np.concatenate(pairs)
    at_one_place = edges[(vertices[edges[:, 0]] == vertices[edges[:, 1]]).all(axis=1)]
    if len(at_one_place) == 0:
        return vertices, triangles
    count = len(vertices)
    links = coo_array((np.ones(len(at_one_place)), tuple(at_one_place.T)), shape=(count, count))
    _, corner = connected_components(links, directed=False)
    _, first = np.unique(corner, return_index=True)
    kept = np.asarray(corner[triangles], dtype=np.int64)
    distinct = (kept != np.roll(kept, 1, axis=1)).all(axis=1)
    return vertices[first], kept[distinct]
