"""A stretch of relief let into a girth: plain before it and behind it, the ends rounded."""

from __future__ import annotations

import numpy as np

from worker.strands.cubics import Cubics
from worker.strands.outline import Outline, Pieces
from worker.strands.plain import cap, together
from worker.strands.roots import Array


def inset(row: Outline, top: Cubics, length: float, ends: tuple[float, float], first: float, last: float) -> Outline:
    """The outline of the girth `top` with `row` in it from `first` to `last` mm, where `row` lies on the girth.

    `ends` are the lengths of the elliptic ends, mm; relief that reaches into one shortens it.
    """
    before, behind = min(ends[0], first), max(length - ends[1], last)
    parts = [top.between(before, first).pieces(), _clipped(row.pieces, first, last), top.between(last, behind).pieces()]
    if ends[0] > 0:
        parts.insert(0, cap(before, 0.0, before, before, top.height_at(before)))
    if ends[1] > 0:
        parts.append(cap(behind, behind, length, length - behind, top.height_at(behind)))
    crest_x, crest_y = row.crest_x.copy(), row.crest_y.copy()
    # The first and the last crest stand for all of the girth on their side.
    crest_x[0], crest_y[0] = _thickest(top, before, first)
    crest_x[-1], crest_y[-1] = _thickest(top, last, behind)
    return Outline(together(*parts), crest_x, crest_y, row.gaps, row.blend)


def _thickest(top: Cubics, low: float, high: float) -> tuple[float, float]:
    stations: Array = low + (high - low) * np.arange(65) / 64
    heights = top.heights(stations)
    best = int(heights.argmax())
    return float(stations[best]), float(heights[best])


def _clipped(pieces: Pieces, low: float, high: float) -> Pieces:
    kept = np.flatnonzero((pieces.end > low + 1e-9) & (pieces.begin < high - 1e-9))
    part = pieces.take(kept)
    parts = {name: getattr(part, name) for name in Pieces.__dataclass_fields__}
    return Pieces(**{**parts, "begin": np.maximum(part.begin, low), "end": np.minimum(part.end, high)})
