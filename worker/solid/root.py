"""The rings of a strand that flares into its parent: planar ones along it, and between them those of the rolling ball.

From the tip down to above where the ball touches the strand, rings lie square to the path. Then each corner runs down
to its own touching point, follows the ball's arc to the parent, dips below the parent's surface by as much as the mesh
may lie off it, so that the two surfaces cross and do not graze, and runs back to the strand's own section inside.
"""

from __future__ import annotations

import math

import numpy as np

from worker.solid.rings import (
    CLOSEST,
    Triangles,
    closed,
    corner_points,
    largest_radius,
    place_rings,
)
from worker.strands.fineness import SAG_SHARE, TURN_SHARE
from worker.strands.flare import Flare, corners_at
from worker.strands.plain import Plain
from worker.strands.roots import Array
from worker.strands.strand import Strand

ABOVE = 0.1
"""How far above the ball's highest touching point the first planar ring stands, over the ball's radius."""
GROOVE_LOOKS = 32
"""Places along the parent under a flare at which its grooves are looked for."""
BELOW = 2.0
"""How far below its lowest foot the strand has its own section again, over the ball's radius."""


def rooted_skin(
    strand: Strand, flare: Flare, begin: float, end: float, around: int, tolerance: float
) -> tuple[Array, Triangles]:
    """Vertices (n, 3) and outward triangles (m, 3) of one connected stretch of a strand with its flare."""
    path, body = strand.path, strand.body
    top = float(flare.station.max()) + ABOVE * flare.radius
    outer, (_, tip) = corner_points(path, place_rings(body, path, top, end, tolerance), around, body.section)
    grooves = _grooves(strand, flare)
    inner, root = _inside(strand, flare, grooves, begin, around, tolerance)
    shoulder = _between(strand, flare.station, top, tolerance)
    surface = np.concatenate([inner, _arcs(flare, grooves, tolerance)[::-1], shoulder, outer])
    return closed(surface, np.stack([root, tip]))


def _inside(
    strand: Strand, flare: Flare, grooves: float, begin: float, around: int, tolerance: float
) -> tuple[Array, Array]:
    """Rings inside of the parent, and the point that closes them."""
    path, body = strand.path, strand.body
    low = max(begin, flare.lowest - max(BELOW * flare.radius, grooves + flare.radius))
    rings = place_rings(body, path, begin, max(low, begin + 2 * CLOSEST), tolerance)
    inner, (root, _) = corner_points(path, rings, around, body.section)
    return inner, root


def _grooves(strand: Strand, flare: Flare) -> float:
    """How deep the grooves of the parent's relief are under the flare, mm.

    The ball rolls on the parent without its relief, so over a groove the flare's rim has to be carried down to the
    groove's floor: hanging, it would bridge the groove from one rib to the next.
    """
    root = strand.root
    if root is None or isinstance(root.on.relief, Plain):
        return 0.0
    feet = root.on.path.nearest(flare.foot)
    low, high = float(feet.min()), float(feet.max())
    gaps = root.on.body.relief.gaps.station
    looks = low + (high - low) * np.arange(GROOVE_LOOKS + 1) / GROOVE_LOOKS
    station = np.concatenate([looks, gaps[(gaps > low) & (gaps < high)]])
    tops, floors = root.on.smooth.sizes(station), root.on.body.narrower_side(station)
    return max(0.0, *(float((top - floor).max()) for top, floor in zip(tops, floors, strict=True)))


def _arcs(flare: Flare, grooves: float, tolerance: float) -> Array:
    """The ball's arcs from the strand to the parent, and below its surface there: (k, n, 3)."""
    turn = float(flare.turn.max())
    step = 2 * math.acos(max(1 - SAG_SHARE * tolerance / flare.radius, 0.0))
    arcs = flare.arcs(max(2, math.ceil(turn / step)))
    way = (flare.foot - flare.centre) / flare.radius
    arcs[-1] += np.where(flare.turn[:, None] > 0, tolerance, 0.0) * way
    if grooves <= tolerance:
        return arcs
    return np.concatenate([arcs, arcs[-1:] + np.where(flare.turn[:, None] > 0, grooves, 0.0) * way])


def _between(strand: Strand, station: Array, top: float, tolerance: float) -> Array:
    """Rings between each corner's own station and the planar ring at `top`, where the path turns on the way."""
    ends = np.array([float(station.min()), top])
    steps = len(strand.path.subdivided(ends, TURN_SHARE * SAG_SHARE * tolerance, largest_radius(strand.body))) - 1
    if steps < 2:
        return np.zeros((0, len(station), 3))
    share = np.arange(1, steps) / steps
    points, _ = corners_at(strand, station[:, None] + (top - station)[:, None] * share)
    return np.asarray(points.transpose(1, 0, 2))
