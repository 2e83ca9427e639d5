"""The rings of a strand that flares into its parent: planar ones along it, and between them those of the rolling ball.

From the tip down to above where the ball touches the strand, rings lie square to the path. Then each corner runs down
to its own touching point, follows the ball's arc to the parent, dips below the parent's surface by as much as the mesh
may lie off it, so that the two surfaces cross and do not graze, and runs back to the strand's own section inside.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from worker.solid.cut_short import cut_short
from worker.solid.rings import (
    Triangles,
    closed,
    corner_points,
    place_rings,
)
from worker.strands.attach import inside, nearly_outside
from worker.strands.belly_level import CLOSEST
from worker.strands.fineness import SAG_SHARE
from worker.strands.flare import ABOVE, Flare
from worker.strands.flare_corners import corners_at
from worker.strands.folds import folds
from worker.strands.grooves import deepest
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import unit

BELOW = 2.0
"""How far below its lowest foot the strand has its own section again, over the ball's radius."""


@dataclass(frozen=True)
class RootedSkin:
    """Vertices (n, 3) and outward triangles (m, 3), and whether they leave out some of the strand itself."""

    mesh: tuple[Array, Triangles]
    cut_short: bool


def rooted_skin(
    strand: Strand, flare: Flare, begin: float, end: float, around: int, tolerance: float
) -> RootedSkin | None:
    """The skin of one connected stretch of a strand with its flare.

    None where they would fold, or where the parent's grooves are too deep for the flare: a smaller ball may do.
    """
    path, body, parent = strand.path, strand.body, flare.on
    grooves = deepest(parent, flare.foot)
    if grooves == np.inf:
        return None
    top = float(flare.station.max()) + ABOVE * flare.radius
    outer, (_, tip) = corner_points(path, place_rings(body, path, top, end, tolerance), around, body.section)
    inner, first = _inside(strand, flare, grooves, begin, around, tolerance)
    above = np.concatenate([_arcs(flare, tolerance)[::-1], _between(strand, flare.station, top, tolerance), outer])
    for below in _carried_down(flare, grooves, tolerance):
        if _sticks_out(parent, flare, below):
            continue
        surface = np.concatenate([inner, below, above])
        turned = folds(surface[max(len(inner) - 2, 0) : len(surface) - len(outer) + 1])
        if inside(parent, turned).all():  # a fold that the parent buries is in nobody's way
            short = cut_short(strand, parent, np.stack([inner[-1], *below, flare.foot]), tolerance)
            return RootedSkin(closed(surface, np.stack([first, tip])), short)
    return None


def _sticks_out(parent: Strand, flare: Flare, below: Array) -> bool:
    """Whether feet that are carried down come out of the parent again, which is thinner there than its grooves deep."""
    held = flare.turn > 0
    return len(below) > 0 and bool((nearly_outside(parent, below[0][held]) > 0).any())


def _inside(
    strand: Strand, flare: Flare, grooves: float, begin: float, around: int, tolerance: float
) -> tuple[Array, Array]:
    """Rings inside of the parent, and the point that closes them."""
    path, body = strand.path, strand.body
    low = max(begin, flare.lowest - max(BELOW * flare.radius, grooves + flare.radius))
    rings = place_rings(body, path, begin, max(low, begin + 2 * CLOSEST), tolerance)
    inner, (root, _) = corner_points(path, rings, around, body.section)
    return inner, root


def _arcs(flare: Flare, tolerance: float) -> Array:
    """The ball's arcs from the strand to the parent, and below its surface there: (k, n, 3)."""
    turn = float(flare.turn.max())
    step = 2 * math.acos(max(1 - SAG_SHARE * tolerance / flare.radius, 0.0))
    arcs = flare.arcs(max(2, math.ceil(turn / step)))
    arcs[-1] += _dipped(flare, tolerance) * flare.inward
    return arcs


def _carried_down(flare: Flare, grooves: float, tolerance: float) -> Iterator[Array]:
    """Rings to try, (k, n, 3), k 0 or 1, that carry the arcs' feet down to the floor of the parent's grooves.

    Each foot goes straight into the parent. Feet around a narrow root on a round parent would cross each other on that
    way; then all go the same one.
    """
    foot = flare.foot + _dipped(flare, tolerance) * flare.inward
    if grooves <= tolerance:
        yield np.zeros((0, *foot.shape))
        return
    depth = _dipped(flare, grooves)
    yield (foot + depth * flare.inward)[None]
    together = unit((depth * flare.inward).sum(axis=0)[None])
    yield (foot + depth * together)[None]


def _dipped(flare: Flare, depth: float) -> Array:
    """`depth` of the corners at which a ball rests, 0 of the others: (n, 1)."""
    return np.where(flare.turn[:, None] > 0, depth, 0.0)


def _between(strand: Strand, station: Array, top: float, tolerance: float) -> Array:
    """Rings between each corner's own station and the planar ring at `top`, as close together as the strand needs.

    Beside `top` each corner has the strand's own rings; the nearer to where it begins, the more of them it passes by:
    1 / t = 1 / ring's + 1 / its beginning's - 1 / the lowest's, all t being ways down from `top`.
    """
    rings = place_rings(strand.body, strand.path, float(station.min()), top, tolerance)
    way = top - rings.station
    way = way[(way > CLOSEST) & (way < way[0] - CLOSEST)]
    if len(way) == 0:
        return np.zeros((0, len(station), 3))
    begins = top - station
    down = 1 / (1 / way + (1 / begins - 1 / begins.max())[:, None])
    points, _ = corners_at(strand, top - down)
    return np.asarray(points.transpose(1, 0, 2))
