"""What is left around a hollow in a trunk: how far the trunk reaches to each side, over a stretch of its path."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.strands.roots import Array
from worker.strands.strand import Strand

LOOKS = 64
"""Stations that are looked at over a stretch, besides its necks and the ends of its outline's pieces."""


@dataclass(frozen=True)
class Around:
    """Stations along the trunk, and half-width and reach to back and belly there, the floor cut; (n,), mm."""

    station: Array
    side: Array
    back: Array
    belly: Array

    @classmethod
    def of(cls, trunk: Strand, begin: float, end: float) -> Around:
        """From `begin` to `end` mm along the trunk; at upright faces the smaller section."""
        body = trunk.body
        marks = np.concatenate([body.ends, body.relief.gaps.station])
        even = begin + (end - begin) * np.arange(LOOKS + 1) / LOOKS
        station = np.unique(np.concatenate([even, marks[(marks > begin) & (marks < end)]]))
        side, back, belly = body.narrower_side(station)
        return cls(station, side, back, np.asarray(body.section.below(belly)))

    @property
    def lowest(self) -> float:
        """Least height from belly to back, mm."""
        return float((self.back + self.belly).min())

    def wall(self, radius: float, up: float) -> tuple[float, float]:
        """Least wall around a round bore `up` mm to the back of the path, and where; mm."""
        walls = np.minimum(np.minimum(self.back - up, self.belly + up), self.side) - radius
        thinnest = int(walls.argmin())
        return float(walls[thinnest]), float(self.station[thinnest])

    @property
    def middle(self) -> float:
        """How far to the back of the path a bore has the same wall above and below, where the trunk is lowest."""
        lowest = int((self.back + self.belly).argmin())
        return float(self.back[lowest] - self.belly[lowest]) / 2
