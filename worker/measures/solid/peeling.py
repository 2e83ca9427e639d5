"""Whether a cut peels: a long thin seam along which the lost part lies, so that it comes off from one end."""

from __future__ import annotations

import numpy as np

from worker.measures.solid.vectors3 import along
from worker.strands.roots import Array

LONG = 3.0
"""A cut longer than this times its thickness may peel."""
LEAN = 0.35
"""A part lies along its seam that rises above it by less than this share of what it reaches along it (judgement). What
stands upright on its seam is pulled off all along it at once."""


def peels(length: float, width: float, middle: Array, normal: Array, lengthwise: Array, lost: Array) -> bool:
    """Whether a cut of `length` and `width` mm peels from one end. `lost` (n, 3) are places of the lost part, mm."""
    if length <= LONG * width or len(lost) == 0:
        return False
    away = lost - middle
    run, rise = np.abs(along(away, lengthwise)), np.abs(along(away, normal))
    return float(np.median(rise)) < LEAN * float(np.sort(run)[(9 * len(run)) // 10])
