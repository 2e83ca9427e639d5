"""How much more easily a bait bends than the same bait without its relief."""

from __future__ import annotations

from worker.strands.body import Body, Grid
from worker.strands.roots import Array

LEAST_HOLD_MM = 6.0
"""A hook leaves the nose no nearer to its end than this (judgement)."""


def hold_station(body: Body) -> float:
    """Where the bait is held: the larger of half the nose's girth and 6 mm, never the round end itself."""
    return max(float(body.side.crest_y[0]), LEAST_HOLD_MM)


def second_moments(body: Body, station: Array) -> tuple[Array, Array]:
    """Second moments of the sections about their centroids, mm4: for bending up and down, and sideways."""
    _, up_down, sideways = body.section.moments(*body.sizes(station))
    return up_down, sideways


def tip_give(grid: Grid, length: float, second_moment: Array) -> float:
    """Integral of (L - s)^2 / I over the grid, 1/mm: tip deflection times modulus over a force at the tip.

    Unit load method: delta = (P / E) integral x^2 / I(x) dx, x from the tip (Roark, table 8.1 gives its closed forms).
    """
    lever = length - grid.station
    return float((grid.weight * lever * lever / second_moment).sum())


def flexibility_ratio(body: Body, smooth: Body, hold: float) -> float | None:
    """Tip give with the relief over without it, up and down; None where the beads do not hang together.

    `smooth` is the same girth without relief. Both are held at the station `hold`, mm, and free at the tail.
    """
    if len(body.runs) > 1:
        return None
    length = float(body.ends[-1])
    gives = []
    for each in (body, smooth):
        grid = each.grid(hold)
        inside = grid.station < length - 1e-6
        grid = Grid(grid.station[inside], grid.weight[inside])
        up_down, _ = second_moments(each, grid.station)
        gives.append(tip_give(grid, length, up_down))
    return gives[0] / gives[1]
