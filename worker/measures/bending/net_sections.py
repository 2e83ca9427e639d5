"""What hollows leave of a beam's sections: area and second moments, by places spread over each section."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.places import Box, boxes_of, outside_all, within
from worker.strands.roots import Array
from worker.strands.strand import Strand

AROUND, RINGS = 24, 6
"""Wedges around a section and parts of one area in each."""
TURN = 0.6180339887498949
"""Irrational step by which a wedge's parts stand further out than the last one's (Weyl): no hollow's edge falls between
two rings of them all round."""
OTHER_TURN = 0.7548776662466927
"""The same of how far they stand over from one side of a wedge to the other: a squarer section has broad wedges."""
LOOKS = 64
"""Sections at most that are looked at; between them the shares are level with their neighbours'."""
ACROSS = 24
"""Places each way over a trunk of several strands."""

Frames = tuple[Array, Array, Array]


def shares_left(
    strands: Sequence[Strand], station: Array, frames: Frames, hollows: Sequence[Strand]
) -> tuple[Array, Array, Array]:
    """Shares (n,) of area and of the second moments, up and down and sideways, that hollows leave at each station.

    `station` rises along the one strand, or along x where there are several; `frames` are the sections' own.
    """
    whole = np.ones(len(station))
    boxes = boxes_of((*strands, *hollows))
    reach = sum(max(float(outline.crest_y.max()) for outline in strand.body.outlines) for strand in strands)
    near = np.zeros(len(station), dtype=bool)
    for hollow in hollows:
        near |= within(frames[0], *boxes[hollow.name], reach)
    found = np.flatnonzero(near)
    if len(found) == 0:
        return whole, whole, whole
    looked = np.unique(found[np.linspace(0, len(found) - 1, min(LOOKS, len(found))).round().astype(np.int64)])
    aside, upward, share = (
        _in_one(strands[0], station[looked]) if len(strands) == 1 else _in_several(strands, frames[0][looked], boxes)
    )
    at = [part[looked][:, None, :] for part in frames]
    middle = at[0] if len(strands) == 1 else at[0] * np.array([1.0, 0.0, 0.0])
    places = (middle + aside[:, :, None] * at[1] + upward[:, :, None] * at[2]).reshape(-1, 3)
    left = share * outside_all(places, hollows, boxes).reshape(share.shape)
    shares = []
    for values in (None, upward, aside):
        full, net = _moment(share, values), _moment(left, values)
        kept = np.where(full > 0, net / np.maximum(full, 1e-12), 1.0)
        spread = whole.copy()
        spread[near] = np.interp(station[near], station[looked], kept)
        shares.append(spread)
    return shares[0], shares[1], shares[2]


def _moment(weight: Array, at: Array | None) -> Array:
    """Sum of the weights, or their second moment about their own middle, row by row."""
    whole = weight.sum(axis=1)
    if at is None:
        return np.asarray(whole)
    first = (weight * at).sum(axis=1)
    return np.asarray((weight * at * at).sum(axis=1) - first * first / np.maximum(whole, 1e-12))


def _in_one(strand: Strand, station: Array) -> tuple[Array, Array, Array]:
    """Places (n, m) left and up in a strand's sections, and the share of the section that each stands for."""
    left, up = strand.section.rim(*strand.body.sizes(station), AROUND)
    next_left, next_up = (np.roll(part, -1, axis=1) for part in (left, up))
    wedge = np.abs(left * next_up - next_left * up)
    share = np.repeat(wedge / np.maximum(wedge.sum(axis=1, keepdims=True), 1e-12) / RINGS, RINGS, axis=1)
    first = np.arange(AROUND)[:, None] * TURN % 1.0
    out = np.sqrt((np.arange(RINGS) + first) / RINGS)
    over = (np.arange(AROUND * RINGS) * OTHER_TURN % 1.0).reshape(AROUND, RINGS)
    aside, upward = (
        ((part[:, :, None] * (1 - over) + there[:, :, None] * over) * out).reshape(len(station), -1)
        for part, there in ((left, next_left), (up, next_up))
    )
    return aside, upward, share


def _in_several(
    strands: Sequence[Strand], points: Array, boxes: Mapping[str, Box]
) -> tuple[Array, Array, NDArray[np.float64]]:
    """The same in planes across x at `points`, from y = z = 0: those of a grid of places that any strand holds."""
    low, high = (np.stack(part) for part in zip(*(boxes[strand.name] for strand in strands), strict=True))
    least, most = low.min(axis=0), high.max(axis=0)
    y, z = (least[axis] + (most[axis] - least[axis]) * (np.arange(ACROSS) + 0.5) / ACROSS for axis in (1, 2))
    aside, upward = (np.tile(part, (len(points), 1)) for part in (np.repeat(y, ACROSS), np.tile(z, ACROSS)))
    places = np.stack([np.broadcast_to(points[:, :1], aside.shape), aside, upward], axis=-1)
    inside = ~outside_all(places.reshape(-1, 3), strands, boxes).reshape(aside.shape)
    return aside, upward, inside / np.maximum(inside.sum(axis=1, keepdims=True), 1)
