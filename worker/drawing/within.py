"""What of a hollow's edge lies in the bait: the solid that takes it out reaches beyond, and nobody pours that."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from worker.strands.roots import Array

Flags = NDArray[np.bool_]


def within(loop: Array, shapes: Sequence[Array]) -> list[Array] | None:
    """The stretches of a closed loop, (n, 2), that lie inside of any of the closed `shapes`, (m, 2) each: open lines.

    None where all of the loop does, so that it stays closed.
    """
    ways = np.roll(loop, -1, axis=0) - loop
    met = np.concatenate([_crossings(loop, ways, shape) for shape in shapes])
    corners = np.arange(len(loop), dtype=np.float64)
    # Places along the loop, the number of the edge before the point: corners and crossings alike.
    places = np.append(np.unique(np.concatenate([corners, met])), len(loop))
    edge = np.minimum(places.astype(np.int64), len(loop) - 1)
    points = loop[edge] + ways[edge] * (places - edge)[:, None]
    pieces = list(pairwise(points))
    middles = np.array([(first + last) / 2 for first, last in pieces])
    inside = np.logical_or.reduce([_inside(middles, shape) for shape in shapes])
    if inside.all():
        return None
    if not inside.any():
        return []
    # From a piece that lies outside on, so that no line is torn where the loop begins.
    first = int(np.argmin(inside))
    lines: list[list[Array]] = []
    before = False
    for number in (*range(first, len(pieces)), *range(first)):
        if inside[number] and not before:
            lines.append([pieces[number][0]])
        if inside[number]:
            lines[-1].append(pieces[number][1])
        before = bool(inside[number])
    return [np.array(each) for each in lines]


def _crossings(begin: Array, ways: Array, shape: Array) -> Array:
    """Where the edges that go from `begin` by `ways` cross those of a closed shape: the edge's number and the share of
    its way.
    """
    sides = np.roll(shape, -1, axis=0) - shape
    off_x, off_y = shape[:, 0] - begin[:, :1], shape[:, 1] - begin[:, 1:]
    way_x, way_y = ways[:, :1], ways[:, 1:]
    turn = way_x * sides[:, 1] - way_y * sides[:, 0]
    crossing = turn != 0
    turn = np.where(crossing, turn, 1.0)
    along, across = (off_x * sides[:, 1] - off_y * sides[:, 0]) / turn, (off_x * way_y - off_y * way_x) / turn
    number, side = np.nonzero(crossing & (along > 0) & (along < 1) & (across >= 0) & (across < 1))
    return np.asarray(number + along[number, side])


def _inside(points: Array, shape: Array) -> Flags:
    """Which points a closed shape holds: a line to one side of them crosses it an odd number of times."""
    begin, end = shape, np.roll(shape, -1, axis=0)
    x, y = points[:, :1], points[:, 1:]
    spans = (begin[:, 1] > y) != (end[:, 1] > y)
    rise = np.where(begin[:, 1] == end[:, 1], 1.0, end[:, 1] - begin[:, 1])
    crossed = spans & (x < begin[:, 0] + (y - begin[:, 1]) / rise * (end[:, 0] - begin[:, 0]))
    return np.asarray(crossed.sum(axis=1) % 2 == 1)
