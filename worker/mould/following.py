"""A parting face that follows a bait: through its silhouette as it is seen along the draw, flat all round.

Over each line that meets plastic the face should lie between the lowest and the highest of it; then nothing but air
between two stretches of plastic lies behind either half. It must not be steeper than it may: from each place a cone
of that slope bounds it above and below. What lies between all cones is a face that draws; of those the smoothest is
taken, by averaging within the bounds. A mean of functions that are nowhere steeper than a slope is not either, nor is
the lesser or the greater of two; so the slope holds whatever the bait. Where cones cross, the face keeps to the thinner
part, and what then lies behind the other is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import maximum_filter

from worker.mould.columns import Columns, distance_off
from worker.mould.face import Face
from worker.mould.frame import cosine_sine
from worker.mould.widths import local_width
from worker.strands.roots import Array

NODE = 3
"""Columns from node to node."""
MIDDLE = 0.25
"""Share of each line's plastic, about its middle, that the face keeps to: next to its silhouette a limb falls off
steeply, and a face through its very rim would have a hair's breadth of it on the wrong side."""
AS_THICK = 0.8
"""Share of a line's thickest stretch of plastic from which another one counts as being as thick."""
THIN = (0.25, 0.5)
"""Shares of the plan's greatest width under which a place is thin, and of middling width."""
FLAT = 2.0
"""Flat land beyond what slopes, mm (judgement)."""
SLOPES = (20, 30, 45, 60)
"""Degrees that are tried before the steepest slope: a gentler face shuts off better and is cut more easily."""
COARSE = 9
"""Columns from node to node while slopes are tried."""
CROSSED = 0.15
"""How far cones may cross, mm: a face half-way between them is in plastic yet (judgement)."""
STEPS = ((1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2))
"""Directions, and their opposites, in which cones are grown."""
CONE = 1 / (1.0275 * 2**0.5)
"""Slope of a cone over that of the face. Along ways of these directions a cone is steeper than it should be by under
2.75 %; and where nodes rise by as much to one side as they fall to the other, the triangle between them is as steep as
a square's diagonal is long."""
ROUNDS = ((8, 6), (4, 12), (2, 24), (1, 40))
"""How far nodes are averaged, in nodes, and how often."""


@dataclass(frozen=True)
class Strip:
    """A rectangle that stays flat, such as a gate's way, mm: (2,) each."""

    low: tuple[float, float]
    high: tuple[float, float]


def following(columns: Columns, steepest: float, strips: Sequence[Strip] = ()) -> Face:
    """The face of a cavity's columns, flat over the `strips`: of the `SLOPES` up to `steepest` degrees with the first
    that every line can be met with, with the last one if there is none.
    """
    kept = _kept(columns)
    slopes = [slope for slope in SLOPES if slope < steepest]
    slope = next((each for each in slopes if _bounded(kept, each, strips, COARSE).crossed <= CROSSED), steepest)
    bounds = _bounded(kept, slope, strips, NODE)
    return Face(bounds.x0, bounds.y0, NODE * columns.cell, np.round(_smooth(bounds.floor, bounds.roof), 4) + 0.0)


@dataclass(frozen=True)
class _Kept:
    """What the face keeps to, the thinnest first: plans of the least and, its sign turned, the greatest height, minus
    infinity elsewhere.
    """

    columns: Columns
    plans: list[tuple[Array, Array]]


def _kept(columns: Columns) -> _Kept:
    thick, first = columns.high - columns.low, columns.first
    most = np.repeat(np.maximum.reduceat(thick, first), np.diff(first, append=len(thick)))
    # Of stretches over each other the thickest, so that air between them lies behind one half alone; of two as thick,
    # as the walls around a bore, all between them.
    taken = np.flatnonzero(thick >= AS_THICK * most)
    begin = np.flatnonzero(np.diff(columns.line[taken], prepend=-1))
    lowest, highest = taken[begin], taken[np.append(begin[1:], len(taken)) - 1]
    middle, half = (columns.high[highest] + columns.low[lowest]) / 2, (columns.high[highest] - columns.low[lowest]) / 2
    line = columns.line[lowest]
    rank = np.digitize(_widths(columns).ravel()[line], THIN)
    plans = []
    for each in range(len(THIN) + 1):
        of = rank == each
        both = []
        for heights in (middle - MIDDLE * half, -middle - MIDDLE * half):
            plan = np.full(columns.shape[0] * columns.shape[1], -np.inf)
            plan[line[of]] = heights[of]
            both.append(plan.reshape(columns.shape))
        if of.any():
            plans.append((both[0], both[1]))
    return _Kept(columns, plans)


def _widths(columns: Columns) -> Array:
    """How wide the plan is at each line over its widest place, looked at on every `NODE`th line."""
    plan = columns.plan
    some = plan[::NODE, ::NODE]
    width = local_width(distance_off(some), some, columns.cell * NODE)
    # Lines whose own node is off the plan are as wide as the widest node beside theirs.
    width = maximum_filter(width, 3) * ~some + width
    spread = np.repeat(np.repeat(width, NODE, axis=0), NODE, axis=1)[: plan.shape[0], : plan.shape[1]]
    return np.asarray(spread / (float(width.max()) or 1.0))


@dataclass(frozen=True)
class _Bounds:
    """At each node, the first of which stands at (`x0`, `y0`), mm: between what heights all cones leave the face.

    `crossed`: by how many mm any of them crosses another.
    """

    x0: float
    y0: float
    floor: Array
    roof: Array
    crossed: float


def _bounded(kept: _Kept, slope: float, strips: Sequence[Strip], node: int) -> _Bounds:
    """The cones of a slope in degrees, at every node of so many columns.

    Where they cross, what is flat goes before all else, and thin parts before thick ones: a thick one gives way over
    more of its width.
    """
    cosine, sine = cosine_sine(slope)
    columns = kept.columns
    rise = CONE * sine / cosine * columns.cell
    needed = np.maximum.reduce([plan for both in kept.plans for plan in both])
    shape, ahead = _room(np.maximum(needed, 0.0) / rise, columns.cell, node)
    x0, y0 = columns.x0 - node * ahead[0] * columns.cell, columns.y0 - node * ahead[1] * columns.cell
    level = -_cones(_flat(shape, x0, y0, node * columns.cell, strips), node * rise)
    floor, roof, crossed = -level, level, 0.0
    for plans in kept.plans:
        low, high = (np.clip(_over(shape, plan, ahead, rise, node), -level, level) for plan in plans)
        crossed = max(crossed, float((low - roof).max()), float((high + floor).max()))
        low, high = _cones(np.clip(low, floor, roof), node * rise), -_cones(np.clip(high, -roof, -floor), node * rise)
        crossed = max(crossed, float((low - high).max()))
        floor, roof = np.minimum(low, high), np.maximum(low, high)
    return _Bounds(x0, y0, floor, roof, crossed)


def _room(needed: Array, cell: float, node: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """How many nodes it takes that every line's cone comes down to 0 within, and how many of them lie before the first
    line; `needed`: each cone's radius in cells, as a plan.
    """
    flat = FLAT / cell
    sizes, ahead = [], []
    for axis in (1, 0):
        most = needed.max(axis=axis)
        lines = np.arange(len(most))
        before = int(np.ceil((flat - float((lines - most).min())) / node))
        after = int(np.ceil((flat + float((lines + most).max())) / node))
        sizes.append(before + after + 1)
        ahead.append(before)
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


def _over(shape: tuple[int, int], plan: Array, ahead: tuple[int, int], rise: float, node: int) -> Array:
    """At the nodes around each line the greatest height of the cones that hang from the heights of a plan."""
    wide = np.full((node * (shape[0] - 1), node * (shape[1] - 1)), -np.inf)
    wide[node * ahead[0] :, node * ahead[1] :][: plan.shape[0], : plan.shape[1]] = plan
    nodes = np.full(shape, -np.inf)
    for along in range(node):
        for across in range(node):
            heights = wide[along::node, across::node]
            for right in (0, 1):
                for up in (0, 1):
                    i, j = along - node * right, across - node * up
                    near = nodes[right : shape[0] - 1 + right, up : shape[1] - 1 + up]
                    np.maximum(near, heights - rise * float(np.sqrt(i * i + j * j)), out=near)
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
    """The mean of the two, then each node again and again half-way to the mean of four around it, between the two."""
    face = (floor + roof) / 2
    for reach, times in ROUNDS:
        for _ in range(times):
            wide = np.pad(face, reach, mode="edge")
            inner = slice(reach, -reach)
            sides = wide[: -2 * reach, inner] + wide[2 * reach :, inner] + wide[inner, : -2 * reach]
            face = np.clip((4 * face + sides + wide[inner, 2 * reach :]) / 8, floor, roof)
    return np.asarray(face)
