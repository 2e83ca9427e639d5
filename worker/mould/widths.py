"""How wide a plan is at each of its places: the greatest disc in it that reaches there."""

from __future__ import annotations

import numpy as np
from scipy.ndimage import distance_transform_edt, maximum_filter

from worker.mould.columns import Mask
from worker.strands.roots import Array


def local_width(outward: Array, wanted: Mask, cell: float) -> Array:
    """Diameter, mm, of the greatest disc within a plan that covers each of its `wanted` places; 0 elsewhere. `outward`:
    how far its places are from off it, in cells.

    Discs stand where they are greater than all their neighbours, which are the places of the plan's own middle lines.
    """
    width = np.zeros(outward.shape)
    if not wanted.any():
        return width
    # A place's own square reaches half a cell beyond its middle, and so does the free one's beside it.
    radius = outward - 0.5
    ridge = (outward > 0) & (radius >= maximum_filter(radius, 3))
    to_wanted = distance_transform_edt(~wanted)
    centres = np.argwhere(ridge & (to_wanted < radius + 1))
    order = np.argsort(radius[centres[:, 0], centres[:, 1]], kind="stable")
    discs: dict[float, Mask] = {}
    for row, column in centres[order].tolist():
        size = float(radius[row, column])
        reach = int(np.ceil(size))
        if size not in discs:
            steps = np.arange(-reach, reach + 1)
            discs[size] = steps[:, None] ** 2 + steps[None, :] ** 2 <= (size + 0.5) ** 2
        top, left = max(row - reach, 0), max(column - reach, 0)
        part = width[top : row + reach + 1, left : column + reach + 1]
        disc = discs[size][top - row + reach :, left - column + reach :][: part.shape[0], : part.shape[1]]
        part[disc] = 2 * size * cell
    # Squares at the rim that no disc covers are as wide as the nearest one that one does.
    rows, columns = distance_transform_edt(width == 0, return_distances=False, return_indices=True)
    return np.where(wanted, np.maximum(width[rows, columns], cell), 0.0)
