"""The pulls that joints of a trunk are held to where a request asks for none."""

from __future__ import annotations

import numpy as np

from worker.measures.hook.rig import Rig
from worker.strands.roots import Array

PULL_BY_GIRTH: tuple[tuple[float, float], ...] = ((7.0, 8.0), (12.0, 15.0), (float("inf"), 20.0))
"""Greatest girth of the trunk up to mm, and the pull in N that every joint of it is held to (judgement)."""


def pull_of_girth(girth: float) -> float:
    """The pull, N, that a trunk's joints are held to by its greatest width, mm."""
    first, *rest = PULL_BY_GIRTH
    return first[1] if girth < first[0] else next(pull for up_to, pull in rest if girth <= up_to)


BEYOND_THE_HOOK = 0.4
"""Share of the trunk's pull that is asked of joints which hang free of the hook (judgement)."""


def share_by_rig(rig: Rig | None, station: Array) -> Array | None:
    """How much of the trunk's pull is asked of its joints at `station` (n,) mm: all of it where the rig bears it."""
    if rig is None:
        return None
    begin, end = rig.holds
    return np.where((station >= begin) & (station <= end), 1.0, BEYOND_THE_HOOK)
