"""The parting plane: given, or that of least undercut among a stated set of planes through the bait."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from worker.mould.columns import Columns
from worker.mould.slices import Whole
from worker.mould.turned import Turned
from worker.strands.roots import Array

TURNS = (0, 90, 15, 165, 30, 150, 45, 135, 60, 120, 75, 105)
"""Degrees about the line from nose to tail that are tried, in this order; of equally good ones the first is taken."""
HEIGHTS, ROUNDS = 25, 3
"""Heights tried at each turn, evenly over all of it, and how often the step between them is cut to a sixth."""
COARSE = 0.5
"""Columns' distance, mm, for the search."""
NOTHING = 2e-4
"""Share of the bait behind the mould that counts as none: the mesh and the columns are no finer."""


@dataclass(frozen=True)
class Found:
    """A plane, and the mould, mm3 by columns of the bait as it is cold, that lies behind plastic with it."""

    turn: float
    height: float
    behind: float


def least_undercut(vertices: Array, triangles: Whole, turns: Iterable[float] = TURNS) -> Found:
    """The best of the planes for a bait's mesh, (n, 3) mm and (m, 3). Raises GeometryFailed for an open one."""
    return least_behind(Turned(vertices, triangles, COARSE), turns)


def least_behind(bait: Turned, turns: Iterable[float] = TURNS) -> Found:
    """The best of the planes for a bait. Raises GeometryFailed for an open mesh."""
    best: Found | None = None
    for turn in turns:
        columns = bait.columns(turn)
        enough = NOTHING * columns.volume
        found = _best_height(columns, turn, enough)
        if best is None or found.behind < best.behind - enough:
            best = found
        if best.behind <= enough:
            break
    if best is None:
        raise ValueError("no turn to try")
    return best


def least_between(bait: Turned) -> Found:
    """The best plane for a face that follows the bait from it: the turn with the least air between plastic and plastic,
    which lies behind a half whatever its face, and the height there of least undercut. Raises GeometryFailed.
    """
    best: tuple[float, float, Columns] | None = None
    for turn in TURNS:
        columns = bait.columns(turn)
        between, enough = Ends(columns).between, NOTHING * columns.volume
        if best is None or between < best[0] - enough:
            best = between, turn, columns
        if between <= enough:
            break
    if best is None:
        raise ValueError("no turn to try")
    return _best_height(best[2], best[1], NOTHING * best[2].volume)


def _best_height(columns: Columns, turn: float, enough: float) -> Found:
    ends = Ends(columns)
    best = Found(turn, 0.0, ends.behind(0.0))
    low, high = float(columns.low.min()), float(columns.high.max())
    step = (high - low) / (HEIGHTS - 1)
    tried = low + step * np.arange(HEIGHTS)
    for _ in range(ROUNDS):
        for height in tried.tolist():
            if best.behind <= enough:
                return best
            behind = ends.behind(height)
            if behind < best.behind - enough:
                best = Found(turn, round(height, 2), behind)
        step /= 6
        tried = best.height + step * np.arange(-6, 7)
    return best


class Ends:
    """The columns with the lowest and highest plastic of each line, asked for many heights."""

    def __init__(self, columns: Columns) -> None:
        self._square = columns.cell * columns.cell
        first = columns.first
        last = np.append(first[1:], len(columns.line)) - 1
        lowest, highest = np.zeros(len(columns.line), dtype=bool), np.zeros(len(columns.line), dtype=bool)
        lowest[first], highest[last] = True, True
        self._low, self._high = _Beyond(columns.low), _Beyond(columns.high)
        # Air between two stretches of a line runs from the end of one to the begin of the next.
        self._begins, self._ends = _Beyond(columns.low[~lowest]), _Beyond(columns.high[~highest])

    @property
    def between(self) -> float:
        """mm3 of air between plastic and plastic over it."""
        return (self._begins.sum - self._ends.sum) * self._square

    def over(self, height: float) -> float:
        """mm3 of plastic over the plane."""
        return (self._high.over(height) - self._low.over(height)) * self._square

    def behind_below(self, height: float) -> float:
        """mm3 of mould between the plane and plastic under it."""
        return (self._high.under(height) - self._begins.under(height)) * self._square

    def behind(self, height: float) -> float:
        """mm3 of mould between plastic and the plane on each side of it."""
        above = self._low.over(height) - self._ends.over(height)
        return above * self._square + self.behind_below(height)


class _Beyond:
    """By how much values lie beyond a height, all of them together."""

    def __init__(self, values: Array) -> None:
        self._sorted = np.sort(values)
        self._sums = np.concatenate([[0.0], np.cumsum(self._sorted)])
        self.sum = float(self._sums[-1])

    def over(self, height: float) -> float:
        """The sum of what is over it."""
        under = int(np.searchsorted(self._sorted, height))
        return float(self._sums[-1] - self._sums[under]) - (len(self._sorted) - under) * height

    def under(self, height: float) -> float:
        """The sum of what is under it."""
        under = int(np.searchsorted(self._sorted, height))
        return under * height - float(self._sums[under])
