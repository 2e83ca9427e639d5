"""How wide a plan is at each of its places: the greatest disc in it that reaches there."""

from __future__ import annotations

import numpy as np
from scipy.ndimage import distance_transform_edt

from worker.mould.columns import Mask
from worker.strands.roots import Array

UPHILL = 0.6
"""How fast, cells a cell, the distance from the edge grows toward a neighbour of a place on no middle line: by 1
straight away from an edge, of which eight neighbours see 0.92 at least, and by 0.71 out of a square corner, whose own
little discs tell nothing of the width there. Along the middle of a taper it grows by the sine of its half angle.
"""
CORNER = 1.42
"""Radii from a disc's middle to a square corner: the root of 2."""
NEAR = 0.2
"""Radii beyond its rim that a disc still tells the width: a rib, a ring and the round of an end give with what bears
them, and are as wide as that (judgement).
"""


def local_width(outward: Array, wanted: Mask, cell: float) -> Array:
    """Diameter, mm, of the greatest disc within a plan that covers each of its `wanted` places, or nearly; 0 elsewhere.
    `outward`: how far its places are from off it, in cells.

    Discs stand on the plan's own middle lines, also where it tapers.
    """
    width = np.zeros(outward.shape)
    if not wanted.any():
        return width
    # A place's own square reaches half a cell beyond its middle, and so does the free one's beside it.
    radius = outward - 0.5
    ridge = _ridge(outward)
    to_wanted = distance_transform_edt(~wanted)
    # Out to a square corner, as far as a disc's nearest place has to be looked for.
    centres = np.argwhere(ridge & (to_wanted < CORNER * radius + 2))
    order = np.argsort(radius[centres[:, 0], centres[:, 1]], kind="stable")
    discs: dict[float, Mask] = {}
    for row, column in centres[order].tolist():
        size = float(radius[row, column])
        reach = int(np.ceil((1 + NEAR) * size + 0.5))
        if size not in discs:
            steps = np.arange(-reach, reach + 1)
            discs[size] = steps[:, None] ** 2 + steps[None, :] ** 2 <= ((1 + NEAR) * size + 0.5) ** 2
        top, left = max(row - reach, 0), max(column - reach, 0)
        part = width[top : row + reach + 1, left : column + reach + 1]
        disc = discs[size][top - row + reach :, left - column + reach :][: part.shape[0], : part.shape[1]]
        part[disc] = 2 * size * cell
    # Squares at the rim that no disc covers are as wide as the nearest one that one does.
    rows, columns = distance_transform_edt(width == 0, return_distances=False, return_indices=True)
    return np.where(wanted, np.maximum(width[rows, columns], cell), 0.0)


def _ridge(outward: Array) -> Mask:
    """The places on middle lines: toward none of their eight neighbours the distance grows by `UPHILL`."""
    ridge = outward > 0
    padded = np.pad(outward, 1)
    rows, columns = outward.shape
    for down in (0, 1, 2):
        for aside in (0, 1, 2):
            apart = float(np.hypot(down - 1, aside - 1))
            if apart:
                ridge &= padded[down : down + rows, aside : aside + columns] < outward + UPHILL * apart
    return ridge
