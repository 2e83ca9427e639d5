"""A cut found on a coarse grid, found again on a finer one: only the cells near it are free."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from worker.measures.solid.grid import Flags, Grid, Whole, grid_of
from worker.measures.solid.minimum_cut import Cut, minimum_cut, ties_of
from worker.measures.solid.plane_section import Surface

NEAR_CELLS = 2.5
"""Fine cells up to so many coarse ones from the coarse cut are free to fall to either side."""
STILL_LOST = 0.3
"""Share of what the coarse cut loses near itself that the finer one has to lose too (judgement)."""
MOST_FREE = 50_000
MOST_CELLS = 2_000_000
"""A finer grid has at most about so many free cells, and its box so many in all: a long thin seam takes what there is.
"""


@dataclass(frozen=True)
class Refined:
    """A finer grid around a cut, with the cells (n,) that it has to lose and that it has to keep."""

    grid: Grid
    cut: Cut
    ends: Flags
    held: Flags


def refined(
    surface: Surface,
    grid: Grid,
    cut: Cut,
    ends: Flags,
    held: Flags,
    area: float,
    size: float,
    near: float = NEAR_CELLS,
) -> Refined | None:
    """The cut of `area` mm2 again on cells of `size` mm, or as fine as there is room for.

    `near`: up to so many coarse cells from the coarse cut the fine ones are free. None where there is no such cut, or
    where it loses next to nothing of what the coarse one does: of a strand that is thin for the coarse grid hardly a
    cell is far enough from the cut to be lost for certain.
    """
    near *= grid.size
    margin = near + 2 * grid.size
    low, high = cut.places.min(axis=0) - margin, cut.places.max(axis=0) + margin
    box = float(np.prod(high - low))
    size = max(size, (3 * area * near / MOST_FREE) ** (1 / 3), (box / MOST_CELLS) ** (1 / 3))
    fine = grid_of(surface.vertices, surface.triangles, min(size, grid.size), (low, high))
    inside = np.flatnonzero(((grid.middles >= low) & (grid.middles <= high)).all(axis=1))
    distance, _ = cKDTree(cut.places).query(grid.middles[inside])
    close = distance <= near + 1.5 * grid.size
    inside, free = inside[close], distance[close] <= near
    fine = _only(fine, _around(grid, inside))
    _, nearest = cKDTree(grid.middles[inside]).query(fine.middles)
    lost = (cut.lost[inside] & ~free) | ends[inside]
    kept = (~cut.lost[inside] & ~free) | held[inside]
    found = minimum_cut(fine, ties_of(fine), lost[nearest], kept[nearest])
    if found is None or found.lost.mean() < STILL_LOST * cut.lost[inside].mean():
        return None
    return Refined(fine, found, ends[inside][nearest], held[inside][nearest])


def _around(grid: Grid, which: Whole) -> Grid:
    """The grid's cells `which` and their neighbours, empty ones too: the surface runs through those."""
    flags = np.zeros(len(grid.cells), dtype=bool)
    flags[which] = True
    spread = grid.of_cells(flags)
    for axis in range(3):
        spread = spread | np.roll(spread, 1, axis) | np.roll(spread, -1, axis)
    return Grid(grid.low, grid.size, spread)


def _only(fine: Grid, around: Grid) -> Grid:
    """The fine grid's cells whose middle lies in a filled cell of another grid."""
    index = np.floor((fine.middles - np.array(around.low)) / around.size).astype(np.int64)
    top = np.array(around.filled.shape) - 1
    x, y, z = np.clip(index, 0, top).T
    return Grid(fine.low, fine.size, fine.of_cells(around.filled[x, y, z]))
