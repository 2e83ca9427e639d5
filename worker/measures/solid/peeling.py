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


BROKEN = 0.25
"""A stretch narrower than this share of the mean is a gap: a strand that is held at two places has no seam between."""


def widths_of(places: Array, shares: Array, lengthwise: Array) -> Array:
    """Widths, mm, of a cut along its length: of its places (n, 3) mm, with the area each stands for, mm2."""
    run = along(places, lengthwise)
    low, high = float(run.min()), float(run.max())
    stretch = max((high - low) / STRETCHES, 1e-9)
    which = np.minimum(((run - low) / stretch).astype(np.int64), STRETCHES - 1)
    return np.asarray(np.bincount(which, shares, STRETCHES) / stretch)


def peels(length: float, widths: Array, middle: Array, normal: Array, lengthwise: Array, lost: Array) -> bool:
    """Whether a cut `length` mm long, `widths` (n,) mm along it, peels from one end.

    `lost` (n, 3) are places of what is lost, mm. One of the stretches may be a gap, at either end.
    """
    gaps = int((widths < BROKEN * float(widths.mean())).sum())
    if length <= LONG * float(widths.max()) or gaps > 1 or len(lost) == 0:
        return False
    away = lost - middle
    run, rise = np.abs(along(away, lengthwise)), np.abs(along(away, normal))
    return float(np.median(rise)) < LEAN * float(np.sort(run)[(9 * len(run)) // 10])
