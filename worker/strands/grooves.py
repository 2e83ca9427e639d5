"""How deep the grooves of a parent's relief are where a strand grows out of it, and whether a flare can bridge them."""

from __future__ import annotations

import numpy as np

from worker.strands.plain import Plain
from worker.strands.roots import Array
from worker.strands.strand import Strand

LOOKS = 32
"""Places along the parent at which its grooves are looked for."""
DEEP = 0.5
"""Depth of a groove, over the half-thickness that it is cut into, from which on no flare bridges it: it would hang."""


def deepest(parent: Strand, feet: Array) -> float:
    """Depth, mm, of the deepest groove between the outermost of `feet`, points (n, 3) on the parent; 0 without relief.

    Infinite where it is too deep for a flare.
    """
    if isinstance(parent.relief, Plain):
        return 0.0
    stations = parent.path.nearest(feet)
    low, high = float(stations.min()), float(stations.max())
    gaps = parent.body.relief.gaps.station
    looks = low + (high - low) * np.arange(LOOKS + 1) / LOOKS
    station = np.concatenate([looks, gaps[(gaps > low) & (gaps < high)]])
    tops, floors = parent.smooth.sizes(station), parent.body.narrower_side(station)
    if any(bool((top - floor > DEEP * top).any()) for top, floor in zip(tops, floors, strict=True)):
        return np.inf
    return max(0.0, *(float((top - floor).max()) for top, floor in zip(tops, floors, strict=True)))
