"""How much of level strands' sections lies in other level strands: by columns from belly to back, exact in height.

A trunk of several strands overlaps over its whole length, so a share told from a few places would not do.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from worker.strands.body import Body
from worker.strands.roots import Array
from worker.strands.strand import Strand

COLUMNS = 20
"""Columns across a section, bunched to both sides."""
STEP = 0.6180339887498949
"""Irrational step by which they stand elsewhere at the next station (Weyl), so that no edge falls between them."""


def level_with(strand: Strand, other: Strand) -> bool:
    """Whether both run straight and have their backs the same way: then a column of the one is one of the other."""
    if not (strand.path.straight and other.path.straight):
        return False
    backs = [each.path.frames(np.zeros(1))[2][0] for each in (strand, other)]
    return bool(np.abs(backs[0] - backs[1]).max() < 1e-9)


def share_within(strand: Strand, station: Array, others: Sequence[Strand]) -> Array:
    """Share of the section's area at each station that lies in any of `others`, all of them level with the strand."""
    count = len(station)
    points, left, _ = strand.path.frames(station)
    sizes = strand.body.sizes(station)
    half_width = sizes[0]
    first = (np.arange(count) * STEP % 1.0)[:, None]
    turn = np.pi * ((np.arange(COLUMNS) + first) / COLUMNS - 0.5)
    aside, width = half_width[:, None] * np.sin(turn), half_width[:, None] * np.cos(turn)
    across, back, belly = (np.repeat(size, COLUMNS) for size in sizes)
    up, down = _heights(strand.body, across, back, belly, aside.ravel())
    places = (points[:, None, :] + aside[:, :, None] * left[:, None, :]).reshape(-1, 3)
    spans = []
    for other in others:
        at = other.path.beside(places)
        over, under = _heights(other.body, *other.body.sizes(at.station), at.left)
        there = (over + under > 0) & (at.past < 1e-6)
        low, high = np.maximum(-at.back - under, -down), np.minimum(-at.back + over, up)
        spans.append((np.where(there, low, up), np.where(there, high, -down)))
    covered = _together(spans).reshape(count, COLUMNS)
    whole = ((up + down).reshape(count, COLUMNS) * width).sum(axis=1)
    return np.asarray((covered * width).sum(axis=1) / np.maximum(whole, 1e-12))


def _heights(body: Body, width: Array, back: Array, belly: Array, aside: Array) -> tuple[Array, Array]:
    """How far sections of these sizes reach up and down `aside` mm beside their middles; none beside the section."""
    share = np.abs(aside) / np.maximum(width, 1e-9)
    reaches = []
    for power, reach in ((body.section.upper, back), (body.section.lower, belly)):
        rest = np.maximum(1 - (share * share if power == 2 else np.power(share, power)), 0.0)
        reaches.append(reach * (np.sqrt(rest) if power == 2 else np.power(rest, 1 / power)))
    return reaches[0], body.section.below(reaches[1])


def _together(spans: Sequence[tuple[Array, Array]]) -> Array:
    """Length that intervals (low, high) cover together, row by row; those that are turned round are empty."""
    low, high = (np.stack(part) for part in zip(*spans, strict=True))
    order = low.argsort(axis=0, kind="stable")
    low, high = np.take_along_axis(low, order, axis=0), np.take_along_axis(high, order, axis=0)
    covered, reached = np.zeros(low.shape[1]), np.full(low.shape[1], -np.inf)
    for begin, end in zip(low, high, strict=True):
        covered += np.maximum(end - np.maximum(begin, reached), 0.0)
        reached = np.maximum(reached, end)
    return covered
