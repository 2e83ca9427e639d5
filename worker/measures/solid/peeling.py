"""Whether a cut peels: a long thin seam along which the lost part lies, so that it comes off from one end.

What peels comes off only when the front has passed the widest place of the seam: its root, where it has one.
"""

from __future__ import annotations

import numpy as np

from worker.measures.solid.vectors3 import along
from worker.strands.roots import Array

LONG = 3.0
"""A cut longer than this times its greatest width may peel."""
LEAN = 0.35
"""A part lies along its seam that rises above it by less than this share of what it reaches along it (judgement). What
stands upright on its seam is pulled off all along it at once."""


STRETCHES = 12
"""Into so many stretches a cut is divided to see where along it it is widest."""


def widest_of(places: Array, shares: Array, lengthwise: Array) -> float:
    """Greatest width, mm, of a cut along its length: of its places (n, 3) mm, with the area each stands for, mm2."""
    run = along(places, lengthwise)
    low, high = float(run.min()), float(run.max())
    stretch = max((high - low) / STRETCHES, 1e-9)
    which = np.minimum(((run - low) / stretch).astype(np.int64), STRETCHES - 1)
    return float(np.bincount(which, shares, STRETCHES).max()) / stretch


def peels(length: float, width: float, middle: Array, normal: Array, lengthwise: Array, lost: Array) -> bool:
    """Whether a cut `length` and at most `width` mm wide peels from one end. `lost` (n, 3): places of what is lost."""
    if length <= LONG * width or len(lost) == 0:
        return False
    away = lost - middle
    run, rise = np.abs(along(away, lengthwise)), np.abs(along(away, normal))
    return float(np.median(rise)) < LEAN * float(np.sort(run)[(9 * len(run)) // 10])
