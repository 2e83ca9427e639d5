"""How high a bait's silhouette lies, as it is seen along the draw, where a gate opens into it."""

from __future__ import annotations

import numpy as np

from worker.mould.columns import Columns
from worker.mould.thickness import Feed, turned_lines


def silhouette_at(columns: Columns, feed: Feed, width: float) -> float:
    """mm over the parting plane: the mean, over a gate's `width`, of the middle of the outermost plastic."""
    first = columns.first
    last = np.append(first[1:], len(columns.line)) - 1
    middle = np.full(columns.shape[0] * columns.shape[1], np.nan)
    middle[columns.line[first]] = (columns.low[first] + columns.high[last]) / 2
    plan = np.rot90(middle.reshape(columns.shape), feed.quarter)
    xs, _ = turned_lines(columns, feed.quarter)
    near = np.flatnonzero((np.abs(xs - feed.x) <= max(width / 2, columns.cell)) & ~np.isnan(plan).all(axis=1))
    outermost = [plan[row, np.flatnonzero(~np.isnan(plan[row]))[-1]] for row in near]
    return float(np.mean(outermost))
