"""Skins that touch along an edge, parted: what a reader of corners by their places takes for an edge of four triangles.

The kernel's union is sound by its own corners, of which several may lie in one place once rounded. Made one they would
pinch the skin there, so all but one of them move a few roundings into their own triangles.
"""

from __future__ import annotations

import numpy as np

from worker.solid.rings import Triangles
from worker.solid.solid import DECIMALS, in_steps
from worker.strands.roots import Array

ROUNDINGS = 3
"""How far such a corner moves, in units of the last decimal that is kept."""


def parted(vertices: Array, triangles: Triangles) -> Array:
    """The vertices, (n, 3), with no two in one place where an edge by place has four of the `triangles`, (m, 3)."""
    step = 10.0**-DECIMALS
    places, place = np.unique(in_steps(vertices), axis=0, return_inverse=True)
    place = place.ravel()
    corners = place[triangles]
    kept = (corners != np.roll(corners, 1, axis=1)).all(axis=1)
    edges = np.sort(corners[kept][:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    found, count = np.unique(edges, axis=0, return_counts=True)
    crowded = np.zeros(len(places), dtype=bool)
    crowded[found[count != 2].ravel()] = True
    centre = vertices[triangles].mean(axis=1)
    moved = vertices.copy()
    for each in np.flatnonzero(crowded):
        for order, corner in enumerate(np.flatnonzero(place == each)[1:], start=1):
            way = centre[(triangles == corner).any(axis=1)].mean(axis=0) - vertices[corner]
            size = float(np.sqrt(way[0] * way[0] + way[1] * way[1] + way[2] * way[2]))
            if size > 0:
                moved[corner] = vertices[corner] + order * ROUNDINGS * step / size * way
    return moved
