"""Where a half cannot be drawn off without the plastic giving way, and by how much of its width it has to.

A place of a half lies behind plastic where plastic stands between it and the outside in the direction of drawing. The
plastic over it has to slip sideways until it is clear: by as far as the nearest line along which nothing lies behind,
or as the plan's nearest edge is from there, the farther of the two. Beside that depth stands the local width, the
greatest disc in the plan that reaches there: a soft bait strips over a small share of its own width.

Where no free line lies within that width, the mould passes behind the plastic from side to side; where a tongue of it
reaches far in from the plan's edge, as in a bore, plastic encloses it. Either way it is held.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import binary_dilation, binary_opening, binary_propagation, distance_transform_edt

from worker.mould.columns import Columns, Mask
from worker.mould.widths import local_width
from worker.strands.roots import Array

ENCLOSED = 0.35
"""Depth over width from which a tongue of mould that reaches in is held (judgement): a seat for an eye is stripped."""


@dataclass(frozen=True)
class Undercut:
    """Of one half. Plans have the columns' shape: `behind` where it lies behind plastic, `held` where plastic holds it,
    `depth` and `width`, mm, 0 elsewhere.
    """

    behind: Mask
    held: Mask
    depth: Array
    width: Array
    cell: float

    @property
    def share(self) -> Array:
        """Depth over local width, as a plan."""
        return np.asarray(self.depth / np.where(self.behind, self.width, 1.0))

    @property
    def area(self) -> float:
        """mm2 of the plan that lies behind."""
        return float(self.behind.sum()) * self.cell * self.cell

    @property
    def trapped(self) -> float:
        """mm2 of it where plastic holds the mould."""
        return float(self.held.sum()) * self.cell * self.cell

    @property
    def worst(self) -> tuple[int, int] | None:
        """Row and column of the greatest share; None without undercut."""
        if not self.behind.any():
            return None
        row, column = np.unravel_index(int(np.argmax(np.where(self.behind, self.share, -1.0))), self.behind.shape)
        return int(row), int(column)


def undercuts(columns: Columns, gap: float) -> tuple[Undercut, Undercut]:
    """Of the lower and the upper half, drawn off along z from the plane z = 0.

    Less than `gap` mm of mould behind plastic counts as none: the mesh is no finer. Lines with plastic that does not
    reach the plane are free of neither half's mould unless the plastic begins within the gap.
    """
    lower, upper = (_measured(columns, each) for each in behind_of(columns, gap))
    return lower, upper


def stays(columns: Columns, gap: float, share: float) -> bool:
    """Whether some of the mould is sure to lie behind plastic by more than a share of its width, at little cost: no
    depth is under the distance from the plan's edge, and no width over twice the greatest of those.
    """
    far = columns.outward > share * 2 * columns.outward.max()
    return any((each & far).any() for each in behind_of(columns, gap))


def behind_of(columns: Columns, gap: float) -> tuple[Mask, Mask]:
    """Plans of what lies behind of the lower and the upper half; see `undercuts`."""
    low, high = columns.low, columns.high
    plan = columns.plan
    top, bottom = _extreme(columns, high, np.maximum), _extreme(columns, low, np.minimum)
    above = np.maximum(top, 0) - columns.spread(np.maximum(high - np.maximum(low, 0), 0))
    below = np.maximum(-bottom, 0) - columns.spread(np.maximum(np.minimum(high, 0) - low, 0))
    # Along an upright wall lines run in and out of the mesh's facets: what is nowhere two lines wide is none.
    found = [plan & (each > gap) for each in (below, above)]
    lower, upper = (binary_propagation(binary_opening(each, np.ones((2, 2))), mask=each) for each in found)
    return lower, upper


def _extreme(columns: Columns, values: Array, which: np.ufunc) -> Array:
    """The lowest or highest of each line's values, 0 where there is no plastic."""
    first = columns.first
    plan = np.zeros(columns.shape[0] * columns.shape[1])
    plan[columns.line[first]] = which.reduceat(values, first)
    return plan.reshape(columns.shape)


def _measured(columns: Columns, behind: Mask) -> Undercut:
    """With depths and widths; a bait that has no free line at all is as deep as its plan is long."""
    plan, cell = columns.plan, columns.cell
    nothing = np.zeros(plan.shape)
    if not behind.any():
        return Undercut(behind, behind, nothing, nothing, cell)
    free = plan & ~behind
    far = float(np.hypot(*plan.shape)) * cell
    aside = distance_transform_edt(~free) * cell if free.any() else np.full(plan.shape, far)
    depth = np.where(behind, np.maximum(aside, columns.outward * cell), 0.0)
    width = local_width(columns.outward, behind, cell)
    steps = max(1, round(float(width.max()) / 2 / cell))
    from_edge = behind & binary_dilation(~plan)
    enclosed = behind & ~binary_dilation(from_edge, iterations=steps, mask=behind)
    held = (enclosed & (depth >= ENCLOSED * width)) | (behind & (aside >= width))
    return Undercut(behind, held, depth, width, cell)
