"""Paths that turn tighter than their section is thick: the surface would fold into itself on the inside of the turn."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross, dot, norm

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


@dataclass(frozen=True)
class Looks:
    """A curved strand as it is looked at, one row a station: frames, curvature vectors (1/mm) and half sizes, mm."""

    station: Array
    points: Array
    left: Array
    back: Array
    bend: Array
    half_width: Array
    half_height: Array

    @property
    def tangents(self) -> Array:
        """Unit vectors along the path."""
        return cross(self.left, self.back)


@lru_cache(maxsize=64)  # turns and meetings are told from the same
def looks_along(strand: Strand) -> Looks:
    """LOOKS stations, evenly spread."""
    station = strand.path.length * (np.arange(LOOKS) + 0.5) / LOOKS
    return Looks(
        station, *strand.path.frames(station), strand.path.curvature(station), *strand.body.half_sizes(station)
    )


@lru_cache(maxsize=64)  # asked before a bait is taken, and to measure it
def too_tight(strand: Strand) -> Turn | None:
    """The turn that is tightest for what goes round it, where one is too tight."""
    if strand.path.straight:
        return None
    looks = looks_along(strand)
    inward = dot(looks.bend, looks.left), dot(looks.bend, looks.back)
    # The section's reach to the inside over the turn's radius.
    fold = strand.section.reach(*strand.body.sizes(looks.station), *inward)
    worst = int(fold.argmax())
    if fold[worst] * ROOM <= 1:
        return None
    radius = 1 / float(norm(looks.bend[worst]))
    return Turn(float(looks.station[worst]), radius, ROOM * float(fold[worst]) * radius)
