"""What hollows leave of a beam's sections: area and second moments, by places spread over each section.

Each place stands for a cell about it, of which a hollow's edge may leave a part: where a cell counted whole or not at
all, two of 144 on the wrong side of a bore's edge made its section a fiftieth too small.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.places import Box, boxes_of, evenly, outside_all, within
from worker.strands.roots import Array
from worker.strands.section import Section
from worker.strands.strand import Strand

PLACES, STEP = 144, 89
"""Places in a section, each of one share of it, and from each to the next how many such shares further out it lies, of
all around: a Fibonacci lattice, which leaves no line and no ring of it without places (Niederreiter 1992, chapter 5,
from memory)."""
CORNERS = 48
"""Of the polygon that stands for a section."""
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
    aside, upward, share, wide = (
        _in_one(strands[0], station[looked]) if len(strands) == 1 else _in_several(strands, frames[0][looked], boxes)
    )
    at = [part[looked][:, None, :] for part in frames]
    middle = at[0] if len(strands) == 1 else at[0] * np.array([1.0, 0.0, 0.0])
    places = (middle + aside[:, :, None] * at[1] + upward[:, :, None] * at[2]).reshape(-1, 3)
    left = share * _left_of(places, wide.ravel(), hollows, boxes).reshape(share.shape)
    shares = []
    for values in (None, upward, aside):
        full, net = _moment(share, values), _moment(left, values)
        kept = np.where(full > 0, net / np.maximum(full, 1e-12), 1.0)
        spread = whole.copy()
        spread[near] = np.interp(station[near], station[looked], kept)
        shares.append(spread)
    return shares[0], shares[1], shares[2]


def _left_of(places: Array, wide: Array, hollows: Sequence[Strand], boxes: Mapping[str, Box]) -> Array:
    """Which share of the cell about each place, `wide` mm across, (n,), lies outside of all hollows."""
    left, reach = np.ones(len(places)), float(wide.max()) / 2
    for hollow in hollows:
        near = np.flatnonzero(within(places, *boxes[hollow.name], reach) & (left > 0))
        if len(near) == 0:
            continue
        at = hollow.path.beside(places[near])
        beside = _beside(hollow.section, hollow.body.sizes(at.station), at.left, at.back)
        share = np.clip(0.5 + beside / wide[near], 0.0, 1.0)
        left[near] = np.minimum(left[near], np.where(at.past > 1e-6, 1.0, share))
    return left


def _beside(section: Section, sizes: tuple[Array, Array, Array], left: Array, up: Array) -> Array:
    """How far places lie outside of a section's rim, mm, below 0 inside; (n,).

    To the first order: of a function that is 1 on the rim, what it is beyond 1 over how steep it is.
    """
    width, back, belly = sizes
    aside, upright = np.maximum(width, 1e-9), np.maximum(np.where(up >= 0, back, belly), 1e-9)
    out = section.beyond(width, back, belly, left, up)
    whole = np.maximum(1 + out, 1e-9)
    across, upward = np.abs(left) / aside / whole, np.abs(up) / upright / whole
    if not section.upper == section.lower == 2:
        power = np.where(up >= 0, section.upper, section.lower) - 1
        across, upward = np.power(across, power), np.power(upward, power)
    across, upward = across / aside, upward / upright
    return np.asarray(out / np.maximum(np.sqrt(across * across + upward * upward), 1e-9))


def _moment(weight: Array, at: Array | None) -> Array:
    """Sum of the weights, or their second moment about their own middle, row by row."""
    whole = weight.sum(axis=1)
    if at is None:
        return np.asarray(whole)
    first = (weight * at).sum(axis=1)
    return np.asarray((weight * at * at).sum(axis=1) - first * first / np.maximum(whole, 1e-12))


def _in_one(strand: Strand, station: Array) -> tuple[Array, Array, Array, Array]:
    """Places (n, m) left and up in a strand's sections, the share that each stands for, how wide its cell is, mm."""
    sizes = strand.body.sizes(station)
    left, up = strand.section.rim(*sizes, CORNERS)
    row, there = np.arange(len(station))[:, None], np.roll(np.arange(CORNERS), -1)
    area = np.abs(left * up[:, there] - left[:, there] * up)
    side = evenly(area, PLACES, np.full((len(station), 1), 0.5))
    behind = np.cumsum(area, axis=1)
    past = behind[row, side] - (np.arange(PLACES) + 0.5) / PLACES * behind[:, -1:]
    before = np.clip(past / np.maximum(area[row, side], 1e-12), 0.0, 1.0)
    out = np.sqrt((np.arange(PLACES) * STEP % PLACES + 0.5) / PLACES)
    aside, upward = ((part[row, side] * before + part[row, there[side]] * (1 - before)) * out for part in (left, up))
    wide = np.sqrt(np.maximum(strand.section.area(*sizes), 1e-12) / PLACES)
    return aside, upward, np.full(aside.shape, 1 / PLACES), np.broadcast_to(wide[:, None], aside.shape)


def _in_several(
    strands: Sequence[Strand], points: Array, boxes: Mapping[str, Box]
) -> tuple[Array, Array, NDArray[np.float64], Array]:
    """The same in planes across x at `points`, from y = z = 0: those of a grid of places that any strand holds."""
    low, high = (np.stack(part) for part in zip(*(boxes[strand.name] for strand in strands), strict=True))
    least, most = low.min(axis=0), high.max(axis=0)
    y, z = (least[axis] + (most[axis] - least[axis]) * (np.arange(ACROSS) + 0.5) / ACROSS for axis in (1, 2))
    aside, upward = (np.tile(part, (len(points), 1)) for part in (np.repeat(y, ACROSS), np.tile(z, ACROSS)))
    places = np.stack([np.broadcast_to(points[:, :1], aside.shape), aside, upward], axis=-1)
    inside = ~outside_all(places.reshape(-1, 3), strands, boxes).reshape(aside.shape)
    cell = math.sqrt(float((most[1] - least[1]) * (most[2] - least[2]))) / ACROSS
    return aside, upward, inside / np.maximum(inside.sum(axis=1, keepdims=True), 1), np.full(aside.shape, cell)
