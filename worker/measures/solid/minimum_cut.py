"""The least surface that parts one set of cells of a grid from another: a minimum cut.

Each cell is tied to its 26 neighbours, and the ties' weights are such that the ties which a surface severs add up to
its area: Cauchy and Crofton's formula (Boykov and Kolmogorov, Computing geodesics and minimal surfaces via graph cuts,
2003). Each of 13 directions counts its lines, one over |step| of a cell's face apart, by its share of all directions.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from worker.measures.solid.grid import Flags, Grid, Whole
from worker.strands.roots import Array

DIRECTION_SHARE = {1: 0.045778, 2: 0.036981, 3: 0.035196}
"""Share of the sphere that is nearer to one of the 26 directions than to any other, by the squared length of its step
(Ohser and Muecklich, Statistical Analysis of Microstructures in Materials Science, 2000; they add up to 1)."""
UNIT = 1_000_000
"""Capacities are whole: millionths of a cell's face."""

STEPS: tuple[tuple[int, int, int], ...] = tuple(
    (x, y, z) for x, y, z in itertools.product((-1, 0, 1), repeat=3) if (x, y, z) > (0, 0, 0)
)
"""One of each pair of opposite neighbours."""


def capacity_of(step: tuple[int, int, int]) -> int:
    """Weight of a tie along `step`, in millionths of a cell's face: 4 share / |step|."""
    squared = step[0] ** 2 + step[1] ** 2 + step[2] ** 2
    return round(UNIT * 4 * DIRECTION_SHARE[squared] / math.sqrt(squared))


@dataclass(frozen=True)
class Ties:
    """Pairs of filled cells that touch, by their places among `Grid.cells`, and what each pair's tie weighs; (m,)."""

    one: Whole
    two: Whole
    weight: Whole


def ties_of(grid: Grid) -> Ties:
    """All ties of a grid."""
    ones, twos, weights = [], [], []
    for step in STEPS:
        here = tuple(slice(max(-s, 0), n - max(s, 0)) for s, n in zip(step, grid.filled.shape, strict=True))
        there = tuple(slice(max(s, 0), n - max(-s, 0)) for s, n in zip(step, grid.filled.shape, strict=True))
        both = grid.filled[here] & grid.filled[there]
        ones.append(grid.number[here][both])
        twos.append(grid.number[there][both])
        weights.append(np.full(len(ones[-1]), capacity_of(step), dtype=np.int64))
    return Ties(np.concatenate(ones), np.concatenate(twos), np.concatenate(weights))


@dataclass(frozen=True)
class Cut:
    """`lost` (n,) tells the cells on the ends' side; `area` mm2 as the grid counts it; middles (k, 3) of cut ties, mm,
    and the area, mm2, that each stands for."""

    lost: Flags
    area: float
    places: Array
    shares: Array


def minimum_cut(grid: Grid, ties: Ties, ends: Flags, held: Flags) -> Cut | None:
    """The least cut between the cells `ends` (n,) and `held` (n,); None where nothing ties them or they touch.

    Of several that are equally small, the one that loses least.
    """
    from ortools.graph.python.max_flow import SimpleMaxFlow

    if not ends.any() or not held.any() or bool((ends & held).any()):
        return None
    # All ends are one node and all that is held another: 0 and 1.
    node = np.empty(len(ends), dtype=np.int64)
    free = ~(ends | held)
    node[free] = np.arange(int(free.sum())) + 2
    node[ends], node[held] = 0, 1
    one, two = node[ties.one], node[ties.two]
    kept = one != two
    one, two, weight = (part[kept] for part in (one, two, ties.weight))
    flow = SimpleMaxFlow()
    flow.add_arcs_with_capacity(
        np.concatenate([one, two]).astype(np.int32),
        np.concatenate([two, one]).astype(np.int32),
        np.concatenate([weight, weight]),
    )
    if flow.solve(0, 1) != SimpleMaxFlow.OPTIMAL:
        raise ArithmeticError("The maximum flow was not found.")
    reached = np.zeros(int(free.sum()) + 2, dtype=bool)
    reached[flow.get_source_side_min_cut()] = True
    lost = reached[node]
    severed = np.flatnonzero(lost[ties.one] != lost[ties.two])
    if len(severed) == 0:
        return None
    face = grid.size * grid.size / UNIT
    shares = np.asarray(ties.weight[severed] * face, dtype=np.float64)
    places = (grid.middles[ties.one[severed]] + grid.middles[ties.two[severed]]) / 2
    return Cut(lost, float(int(ties.weight[severed].sum()) * face), places, shares)
