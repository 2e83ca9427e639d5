"""The flare of a strand in a view: the band between the outermost points of the rolling ball's arcs on both sides."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from worker.drawing.planes import View, flat
from worker.strands.flare import Flare, rolled
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross

AROUND, STEPS = 16, 6
"""Corners around the root at which the ball is rested, and steps along each of its arcs."""


def flare_loop(strand: Strand, view: View) -> Array | None:
    """A closed loop, (n, 2) in mm, that turns as those of strands do; None where there is no flare, or end on."""
    flare = _rolled(strand)
    if flare is None or strand.root is None:
        return None
    _, left, back = strand.path.frames(np.array([strand.root.leaves]))
    tangent = flat(cross(left, back), view)[0]
    if float(tangent[0] * tangent[0] + tangent[1] * tangent[1]) < 0.1:
        return None
    across = np.array([tangent[1], -tangent[0]])
    rings = flare.arcs(STEPS)[::-1]
    edges = []
    for sign in (1.0, -1.0):
        points = [flat(ring, view) for ring in rings]
        edges.append(np.array([each[int((sign * _along(each, across)).argmax())] for each in points]))
    return np.concatenate([edges[0], edges[1][::-1]])


def _along(points: Array, way: Array) -> Array:
    return np.asarray(points[:, 0] * way[0] + points[:, 1] * way[1])


@lru_cache(maxsize=64)  # asked for both views, and for every drawing that shows the strand
def _rolled(strand: Strand) -> Flare | None:
    return rolled(strand, AROUND)
