"""Boxes around strands, places in their sections and on their rims, and which of them lie in other strands."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.extent import extents_of
from worker.strands.attach import nearly_outside
from worker.strands.path import OTHER_SIDE, HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand

Box = tuple[Array, Array]
"""Least and greatest x, y, z."""
Flags = NDArray[np.bool_]


GOLDEN = 0.6180339887498949
"""Irrational step from station to station (Weyl): no edge falls between two places of every rim."""


def boxes_of(strands: Sequence[Strand]) -> dict[str, Box]:
    """Least and greatest corner of each strand; a handed strand's are its counterpart's, turned round."""
    paths = {id(strand.path) for strand in strands}
    twins = [s for s in strands if isinstance(s.path, HandedPath) and id(s.path.of) in paths]
    counterparts = {id(strand) for strand in twins}
    own = [strand for strand in strands if id(strand) not in counterparts]
    boxes = {id(strand.path): box for strand, box in zip(own, extents_of(own), strict=True)}
    for strand in twins:
        if isinstance(strand.path, HandedPath):
            low, high = boxes[id(strand.path.of)]
            corners = low * OTHER_SIDE, high * OTHER_SIDE
            boxes[id(strand.path)] = (np.minimum(*corners), np.maximum(*corners))
    return {strand.name: boxes[id(strand.path)] for strand in strands}


def outside_all(points: Array, others: Sequence[Strand], boxes: Mapping[str, Box]) -> Flags:
    """Whether each point, (n, 3), lies in none of `others`."""
    return ~(least_outside(points, others, boxes, enough=0.0) < 0)


def least_outside(
    points: Array, others: Sequence[Strand], boxes: Mapping[str, Box], *, beside: float = 0.0, enough: float = -np.inf
) -> Array:
    """The least that any of `others`, relief and all, tells of each point by `attach.nearly_outside`, (n,).

    1 over `beside` mm outside of every box. A point that has come below `enough` is asked about no more.
    """
    least = np.ones(len(points))
    for other in others:
        near = np.flatnonzero(within(points, *boxes[other.name], beside) & (least >= enough))
        if len(near):
            least[near] = np.minimum(least[near], nearly_outside(other, points[near], relief=True))
    return least


def overlap(one: Box, other: Box) -> bool:
    """Whether two boxes, least and greatest corner, have room in common."""
    return bool(((one[0] < other[1]) & (other[0] < one[1])).all())


def within(points: Array, low: Array, high: Array, reach: Array | float = 0.0) -> Flags:
    """Whether each of `points` (n, 3) lies in a box or no further than `reach` from its sides."""
    # One axis after the other: NumPy is slow at sums over a last axis of three.
    inside = np.ones(len(points), dtype=bool)
    for axis, (least, most) in enumerate(zip(low.tolist(), high.tolist(), strict=True)):
        along = points[:, axis]
        inside &= along > least - reach
        inside &= along < most + reach
    return inside


def touches(strand: Strand, points: Array, boxes: Sequence[Box]) -> Flags:
    """Whether the ball that goes around any of the strand's sections reaches into a box from each of its `points`."""
    sizes = (outline.crest_y.max() for outline in (strand.body.side, strand.body.back, strand.body.lower))
    width, back, belly = (float(size) for size in sizes)
    reach = math.hypot(width, max(back, belly))
    found = np.zeros(len(points), dtype=bool)
    for low, high in boxes:
        found |= within(points, low, high, reach)
    return found


def filled_sections(
    strand: Strand, station: Array, around: int, rings: int, radii: Array | None = None
) -> tuple[Array, Array]:
    """Places (n m, 3) spread over the section at each station, and the share of the section that each stands for.

    m = `around` wedges of `rings` parts, each wedge's parts of one area; `radii`, (rings,), over the section's own, put
    the places elsewhere.
    """
    left, up = strand.section.rim(*strand.body.sizes(station), around)
    next_left, next_up = (np.roll(part, -1, axis=1) for part in (left, up))
    wedge = np.abs(left * next_up - next_left * up)
    wedge = wedge / np.maximum(wedge.sum(axis=1, keepdims=True), 1e-12)
    # A part's own middle lies at the root mean square of its two edges, on the line to the wedge's middle.
    radius = (np.sqrt((np.arange(rings) + 0.5) / rings) if radii is None else radii)[:, None]
    middles = (((part + there) / 2)[:, None, :] * radius for part, there in ((left, next_left), (up, next_up)))
    places = places_of(strand, station, *(part.reshape(len(station), -1) for part in middles))
    return places, np.tile(wedge / rings, (1, rings))


def rims(strand: Strand, station: Array, around: int) -> tuple[Array, Array]:
    """Places (n `around`, 3) on the rim of the section at each station, and the share of the rim each stands for."""
    left, up = strand.section.rim(*strand.body.sizes(station), around)
    y, z = (np.diff(part, axis=1, append=part[:, :1]) for part in (left, up))
    side = np.sqrt(y * y + z * z)
    places = places_of(strand, station, left + y / 2, up + z / 2)
    return places, side / np.maximum(side.sum(axis=1, keepdims=True), 1e-12)


def even_rims(
    strand: Strand, station: Array, corners: int, count: int, number: NDArray[np.int64] | None = None
) -> Array:
    """Places (n `count`, 3) that lie evenly along the rim of the section at each station, other ones at each.

    The rim is taken as a polygon of so many `corners`. `number`: the how manieth of its strand each section is.
    """
    if len(station) == 0:
        return np.zeros((0, 3))
    left, up = strand.section.rim(*strand.body.sizes(station), corners)
    left, up = (np.concatenate([part, part[:, :1]], axis=1) for part in (left, up))
    side = np.sqrt(np.diff(left, axis=1) ** 2 + np.diff(up, axis=1) ** 2)
    run = np.concatenate([np.zeros((len(station), 1)), np.cumsum(side, axis=1)], axis=1)
    number = np.arange(len(station)) if number is None else number
    first = (number * GOLDEN % 1.0)[:, None]
    at = (np.arange(count) + first) / count * run[:, -1:]
    # Rows are laid end to end, each beyond the last one's end, so that one call looks up them all.
    beyond = (np.arange(len(station)) * (run[:, -1].max(initial=0.0) + 1.0))[:, None]
    aside, upward = (
        np.interp((at + beyond).ravel(), (run + beyond).ravel(), part.ravel()).reshape(at.shape) for part in (left, up)
    )
    return places_of(strand, station, aside, upward)


def evenly(weight: Array, count: int, first: Array) -> NDArray[np.int64]:
    """Which of a row's parts, (n, k) of unlike `weight`, hold its `count` even steps through their sum: (n, count).

    `first`, (n, 1), is how far into a step each row begins. Steps through the parts' number would favour small ones: a
    flat belly's and a square section's corners stand unevenly.
    """
    reached = np.cumsum(weight, axis=1)
    steps = (np.arange(count) + first) / count * reached[:, -1:]
    # Counted along the first axis and in bytes, which goes fastest.
    passed = reached.T[:, :, None] <= steps[None, :, :]
    found = np.add.reduce(passed.view(np.uint8), axis=0, dtype=np.uint8 if weight.shape[1] < 256 else np.int64)
    return np.asarray(np.minimum(found.astype(np.int64), weight.shape[1] - 1))


def places_of(strand: Strand, station: Array, aside: Array, upward: Array) -> Array:
    """Points (n m, 3) beside a strand's path: `aside` to the left and `upward` to the back, (n, m), at each station."""
    return places_in(strand.path.frames(station), aside, upward)


def places_in(frames: tuple[Array, Array, Array], aside: Array, upward: Array) -> Array:
    """The same beside frames that are known already."""
    points, left, back = frames
    across = aside[:, :, None] * left[:, None, :]
    return np.asarray((points[:, None, :] + across + upward[:, :, None] * back[:, None, :]).reshape(-1, 3))
