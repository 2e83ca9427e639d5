"""Where a floor begins and ends to cut a strand's belly level."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from worker.strands.outline import CURVE, Outline, Pieces
from worker.strands.roots import Array, crossing


def edges(belly: Outline, floor: float) -> Array:
    """Sorted stations, mm, at which the reach to the belly passes the floor.

    Each piece is searched between the places where it turns, so that it rises or falls all along.
    """
    pieces = belly.pieces
    piece, low, high = _monotone(pieces)
    over_low, over_high = (pieces.height(piece, at) - floor for at in (low, high))
    passes = np.flatnonzero((over_low < 0) != (over_high < 0))
    if len(passes) == 0:
        return np.zeros(0)
    piece = piece[passes]
    found = crossing(
        lambda at: pieces.height(piece, at) - floor, low[passes], high[passes], over_low[passes], over_high[passes]
    )
    return np.unique(np.round(found, 9))


def _monotone(pieces: Pieces) -> tuple[NDArray[np.int64], Array, Array]:
    """The pieces cut at their highest and lowest places: which piece each part is of, from where to where."""
    curved = pieces.kind == CURVE
    # A cubic's slope is s + 2 q u + 3 t u^2; an arc turns at its middle.
    slope, second, third = (np.where(curved, part, 0.0) for part in (pieces.slope, pieces.second, pieces.third))
    root = np.sqrt(np.maximum(second * second - 3 * slope * third, 0.0))
    # The two roots of a quadratic without cancellation: (-q -+ root) / 3t and s over what that is made of.
    larger = -(second + np.where(second >= 0, root, -root))
    with np.errstate(divide="ignore", invalid="ignore"):
        turns = [np.where(curved, part, 0.0) for part in (larger / (3 * third), slope / larger)]
    marks = [pieces.begin]
    for turn in turns:
        at = pieces.centre_x + np.where(np.isfinite(turn), turn, 0.0)
        marks.append(np.clip(at, pieces.begin, pieces.end))
    cuts = np.sort(np.stack([*marks, pieces.end]), axis=0)
    piece = np.tile(np.arange(len(pieces.begin)), len(cuts) - 1)
    low, high = cuts[:-1].ravel(), cuts[1:].ravel()
    some = high > low
    return piece[some], low[some], high[some]
