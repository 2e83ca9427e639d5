"""A parting face that follows a bait: through its silhouette as it is seen along the draw, flat all round.

Over each line that meets plastic the face should lie between the lowest and the highest of it; then nothing but air
between two stretches of plastic lies behind either half. It must not be steeper than it may: from each place a cone
of that slope bounds it above and below. What lies between all cones is a face that draws; of those the smoothest is
taken, by averaging within the bounds. A mean of functions that are nowhere steeper than a slope is not either, nor is
the lesser or the greater of two; so the slope holds whatever the bait. Where its cones cross, the face goes between
them, and what then lies behind plastic is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from worker.mould.columns import Columns, Whole
from worker.mould.face import Face
from worker.mould.frame import cosine_sine
from worker.strands.roots import Array

NODE = 3
"""Columns from node to node."""
MIDDLE = 0.25
"""Share of each line's plastic, about its middle, that the face keeps to: next to its silhouette a limb falls off
steeply, and a face through its very rim would have a hair's breadth of it on the wrong side."""
FLAT = 2.0
"""Flat land beyond what slopes, mm (judgement)."""
STEPS = ((1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2))
"""Directions, and their opposites, in which cones are grown."""
CONE = 1 / (1.0275 * 2**0.5)
"""Slope of a cone over that of the face. Along ways of these directions a cone is steeper than it should be by under
2.75 %; and where nodes rise by as much to one side as they fall to the other, the triangle between them is as steep as
a square's diagonal is long."""
ROUNDS = ((8, 4), (4, 8), (2, 16), (1, 32))
"""How far nodes are averaged, in nodes, and how often."""


@dataclass(frozen=True)
class Strip:
    """A rectangle that stays flat, such as a gate's way, mm: (2,) each."""

    low: tuple[float, float]
    high: tuple[float, float]


def following(columns: Columns, steepest: float, strips: Sequence[Strip] = ()) -> Face:
    """The face of a cavity's columns, nowhere over `steepest` degrees, flat over the `strips`."""
    cosine, sine = cosine_sine(steepest)
    rise = CONE * sine / cosine * columns.cell
    first = columns.first
    last = np.append(first[1:], len(columns.line)) - 1
    middle, half = (columns.high[last] + columns.low[first]) / 2, (columns.high[last] - columns.low[first]) / 2
    low, high = middle - MIDDLE * half, middle + MIDDLE * half
    row, place = np.divmod(columns.line[first], columns.shape[1])
    needed = np.maximum(np.maximum(low, -high), 0.0) / rise
    shape, ahead = _room(row, place, needed, columns.cell)
    cell, x0, y0 = NODE * columns.cell, columns.x0 - ahead[0] * columns.cell, columns.y0 - ahead[1] * columns.cell
    row, place = row + ahead[0], place + ahead[1]
    level = -_cones(_flat(shape, x0, y0, cell, strips), NODE * rise)
    floor, roof = _over(shape, row, place, low, rise), -_over(shape, row, place, -high, rise)
    floor = _cones(np.clip(floor, -level, level), NODE * rise)
    roof = -_cones(-np.clip(roof, -level, level), NODE * rise)
    face = _smooth(np.minimum(floor, roof), np.maximum(floor, roof))
    return Face(x0, y0, cell, np.round(face, 4) + 0.0)


def _room(row: Whole, place: Whole, needed: Array, cell: float) -> tuple[tuple[int, int], tuple[int, int]]:
    """How many nodes it takes that every line's cone comes down to 0 within, and how many columns' cells there are from
    the first of them to the columns' first; `needed`: each cone's radius in cells.
    """
    flat = FLAT / cell
    sizes, ahead = [], []
    for lines in (row, place):
        before = int(np.ceil((flat - float((lines - needed).min())) / NODE))
        after = int(np.ceil((flat + float((lines + needed).max())) / NODE))
        sizes.append(before + after + 1)
        ahead.append(NODE * before)
    return (sizes[0], sizes[1]), (ahead[0], ahead[1])


def _flat(shape: tuple[int, int], x0: float, y0: float, cell: float, strips: Iterable[Strip]) -> Array:
    """0 at the nodes that stay flat, the outermost among them; below all else elsewhere."""
    flat = np.full(shape, -np.inf)
    flat[[0, -1]] = flat[:, [0, -1]] = 0.0
    x, y = x0 + cell * np.arange(shape[0]), y0 + cell * np.arange(shape[1])
    for strip in strips:
        # A square that reaches into a strip has all its nodes at 0.
        across = (x > strip.low[0] - cell) & (x < strip.high[0] + cell)
        flat[np.ix_(across, (y > strip.low[1] - cell) & (y < strip.high[1] + cell))] = 0.0
    return flat


def _over(shape: tuple[int, int], row: Whole, place: Whole, heights: Array, rise: float) -> Array:
    """At the nodes around each line the greatest height of the cones that hang from the lines' heights."""
    nodes = np.full(shape, -np.inf)
    i, j = row // NODE, place // NODE
    for right in (0, 1):
        for up in (0, 1):
            along, across = row - NODE * (i + right), place - NODE * (j + up)
            np.maximum.at(nodes, (i + right, j + up), heights - rise * np.sqrt(along * along + across * across))
    return nodes


def _cones(heights: Array, rise: float) -> Array:
    """The upper envelope of cones that hang from the nodes' heights, `rise` mm from node to node.

    A way along one direction is one of 1, 2, 4, ... steps together, and a way to any node one along two directions that
    lie side by side; so each doubling is looked at once.
    """
    grown = heights.copy()
    for di, dj in STEPS:
        size = float(np.sqrt(di * di + dj * dj)) * rise
        for i, j in ((di, dj), (-di, -dj)):
            times = 1
            while times * abs(i) < heights.shape[0] and times * abs(j) < heights.shape[1]:
                to, of = _apart(heights.shape, times * i, times * j)
                grown[to] = np.maximum(grown[to], grown[of] - times * size)
                times *= 2
    return grown


def _apart(shape: tuple[int, ...], i: int, j: int) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """The nodes that have one (i, j) before them, and those."""
    to, of = [], []
    for size, step in zip(shape, (i, j), strict=True):
        to.append(slice(max(step, 0), size + min(step, 0)))
        of.append(slice(max(-step, 0), size - max(step, 0)))
    return (to[0], to[1]), (of[0], of[1])


def _smooth(floor: Array, roof: Array) -> Array:
    """The mean of the two, each node again and again put to the mean of four around it, between the two."""
    face = (floor + roof) / 2
    for reach, times in ROUNDS:
        for _ in range(times):
            wide = np.pad(face, reach, mode="edge")
            inner = slice(reach, -reach)
            sides = wide[: -2 * reach, inner] + wide[2 * reach :, inner] + wide[inner, : -2 * reach]
            face = np.clip((sides + wide[inner, 2 * reach :]) / 4, floor, roof)
    return np.asarray(face)
