"""The parting plane: given, or that of least undercut among a stated set of planes through the bait."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from worker.mould.columns import Columns, Whole, columns_of
from worker.mould.frame import Frame
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
    best: Found | None = None
    for turn in turns:
        columns = columns_of(Frame(1.0, turn, 0.0).to_mould(vertices), triangles, COARSE)
        enough = NOTHING * columns.volume
        found = _best_height(columns, turn, enough)
        if best is None or found.behind < best.behind - enough:
            best = found
        if best.behind <= enough:
            break
    if best is None:
        raise ValueError("no turn to try")
    return best


def least_between(vertices: Array, triangles: Whole) -> Found:
    """The best plane for a face that follows the bait from it: the turn with the least air between plastic and plastic,
    which lies behind a half whatever its face, and the height there of least undercut. Raises GeometryFailed.
    """
    best: tuple[float, float, Columns] | None = None
    for turn in TURNS:
        columns = columns_of(Frame(1.0, turn, 0.0).to_mould(vertices), triangles, COARSE)
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
    """The columns with the lowest and highest plastic of each line."""

    def __init__(self, columns: Columns) -> None:
        self.columns = columns
        first = columns.first
        self.bottom = columns.low[first]
        self.top = columns.high[np.append(first[1:], len(columns.line)) - 1]

    @property
    def between(self) -> float:
        """mm3 of air between plastic and plastic over it."""
        whole = float((self.top - self.bottom).sum()) * self.columns.cell * self.columns.cell
        return whole - self.columns.volume

    def over(self, height: float) -> float:
        """mm3 of plastic over the plane."""
        low, high = self.columns.low, self.columns.high
        return float(np.maximum(high - np.maximum(low, height), 0).sum()) * self.columns.cell * self.columns.cell

    def behind_below(self, height: float) -> float:
        """mm3 of mould between the plane and plastic under it."""
        low, high = self.columns.low, self.columns.high
        below = np.maximum(height - self.bottom, 0).sum() - np.maximum(np.minimum(high, height) - low, 0).sum()
        return float(below) * self.columns.cell * self.columns.cell

    def behind(self, height: float) -> float:
        """mm3 of mould between plastic and the plane on each side of it."""
        low, high = self.columns.low, self.columns.high
        above = np.maximum(self.top - height, 0).sum() - np.maximum(high - np.maximum(low, height), 0).sum()
        below = np.maximum(height - self.bottom, 0).sum() - np.maximum(np.minimum(high, height) - low, 0).sum()
        return float(above + below) * self.columns.cell * self.columns.cell
