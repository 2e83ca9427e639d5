"""Paths that turn tighter than their section is thick: the surface would fold into itself on the inside of the turn."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.strands.strand import Strand
from worker.strands.vectors import dot, norm

LOOKS = 128
"""Stations at which a turn is looked at."""
ROOM = 1.05
"""Least radius of a turn over the section's reach to the inside of it: a fold has to be kept clear of."""


@dataclass(frozen=True)
class Turn:
    """The tightest turn for its section: its station and radius, and the radius that would do; mm."""

    station: float
    radius: float
    needed: float


@lru_cache(maxsize=64)  # asked before a bait is taken, and to measure it
def too_tight(strand: Strand) -> Turn | None:
    """The turn that is tightest for what goes round it, where one is too tight."""
    if strand.path.straight:
        return None
    station = strand.path.length * (np.arange(LOOKS) + 0.5) / LOOKS
    half_width, half_height = strand.body.half_sizes(station)
    bend = strand.path.curvature(station)
    _, left, back = strand.path.frames(station)
    across, upward = half_width * dot(bend, left), half_height * dot(bend, back)
    fold = np.sqrt(across * across + upward * upward)  # the section's reach to the inside over the turn's radius
    worst = int(fold.argmax())
    if fold[worst] * ROOM <= 1:
        return None
    radius = 1 / float(norm(bend[worst]))
    return Turn(float(station[worst]), radius, ROOM * float(fold[worst]) * radius)
