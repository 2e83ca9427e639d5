"""The outline of a strand without relief: its girth alone, with round ends."""

from __future__ import annotations

import numpy as np

from worker.strands.outline import BULGE, LINE, Gaps, Outline, Pieces
from worker.strands.roots import Array


def plain_outline(crest_x: Array, half_height: Array, end_length: tuple[float, float]) -> Outline:
    """Straight from each crest to the next, with elliptic ends `end_length` mm long before and after them."""
    first, last = crest_x[0], crest_x[-1]
    begin = np.concatenate([[first - end_length[0]], crest_x])
    end = np.concatenate([crest_x, [last + end_length[1]]])
    lines = len(crest_x) - 1
    kind = np.concatenate([[BULGE], np.full(lines, LINE), [BULGE]])
    zero = np.zeros(lines)
    slope = np.diff(half_height) / np.diff(crest_x)
    pieces = Pieces(
        kind,
        begin,
        end,
        np.concatenate([[first], crest_x]),
        np.concatenate([[0.0], half_height[:-1], [0.0]]),
        np.concatenate([[end_length[0]], zero, [end_length[1]]]),
        np.concatenate([[half_height[0]], zero, [half_height[-1]]]),
        np.concatenate([[0.0], slope, [0.0]]),
    )
    none = np.zeros(0)
    no_flag = np.zeros(0, dtype=bool)
    ends, heights = crest_x[[0, -1]], half_height[[0, -1]]
    return Outline(pieces, ends, heights, Gaps(none, none, no_flag, no_flag, none, none), 0.0)
