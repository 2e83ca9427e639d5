"""Seats for eyes: flat round sockets on both sides of the head."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.styles.placing import place_on
from worker.styles.style import Params
from worker.styles.worm_parameters import number

RAISED = 0.12
"""How far an eye sits above the middle, over the reach to the back (judgement)."""
SEAT = 0.4
"""Depth of a seat below the lowest place of its rim, mm (judgement)."""
LEAD = 1.0
"""How far outside of the bait a socket begins, mm."""


@dataclass(frozen=True)
class Eye:
    """A seat `diameter` mm wide, its middle at `station` along the trunk and `up` mm to the back of the path.

    Its flat bottom lies `bottom` mm to the side of the path; `rim` is where the trunk's surface is there at most.
    """

    diameter: float
    station: float
    up: float
    bottom: float
    rim: float

    @classmethod
    def of(cls, trunk: Strand, params: Params) -> Eye | None:
        """From parameters; None where there is none."""
        diameter = number(params, "eye")
        if diameter == 0:
            return None
        station = min(number(params, "eye_at") / 100 * number(params, "length"), trunk.path.length)
        around = station + diameter / 2 * np.array([-1.0, -0.5, 0.0, 0.5, 1.0])
        inside = np.clip(around, 0.0, trunk.path.length)
        side, back, belly = trunk.body.sizes(inside)
        up = RAISED * float(back[2])
        rims = [
            _half_width(trunk, float(a), float(b), float(c), up, diameter, abs(float(x) - station))
            for a, b, c, x in zip(side, back, trunk.body.section.below(belly), around, strict=True)
        ]
        low = min(min(pair) for pair in rims)
        if float(around[0]) < 0 or float(around[-1]) > trunk.path.length:
            low = 0.0
        return cls(diameter, station, up, low - SEAT, max(float(side.max()), low))

    def strands(self, trunk: Strand) -> tuple[Strand, Strand]:
        """What is taken out on the left and on the right."""
        place = place_on(trunk.path, self.station)
        begin = self.rim + LEAD
        path = StraightPath(begin - self.bottom, place.at(0.0, begin, self.up), place.way(0.0, -1.0), place.ahead)
        girth = Girth.circular((0.0, self.diameter), (1.0, self.diameter))
        left = Strand("left eye socket", "socket", path, girth, Plain((0.0, 0.0)))
        return left, left.handed("right eye socket")


def _half_width(
    trunk: Strand, side: float, back: float, belly: float, up: float, diameter: float, away: float
) -> tuple[float, float]:
    """Half-width of a section at the upper and the lower rim of a seat, `away` mm along from its middle."""
    reach = math.sqrt(max(diameter * diameter / 4 - away * away, 0.0))
    section = trunk.body.section
    return (
        _at_height(side, back if up + reach >= 0 else belly, up + reach, section.upper),
        _at_height(side, belly if up - reach < 0 else back, up - reach, section.lower if up < reach else section.upper),
    )


def _at_height(side: float, over: float, height: float, power: float) -> float:
    """Half-width of a superellipse at a height; 0 beyond it."""
    share = abs(height) / over if over > 0 else 1.0
    return side * round(math.pow(1 - math.pow(share, power), 1 / power), 9) if share < 1 else 0.0
