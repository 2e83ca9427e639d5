"""The sprue: from the injector's seat down to the parting plane, wider all the way, so that it comes out."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from worker.solid.shapes import Mesh, Place, turned

DRAFT = 0.0262
"""Radius that it gains per mm downward: 1.5 degrees a side (common practice is 1 degree and over)."""
SEAT, SEAT_LEAN = 4.0, 0.5
"""Depth of the injector's seat, mm, and how far it narrows to each side on its way down, mm: a snug cone."""
THROAT = 0.35
"""Radius of the opening in the seat over the nozzle's diameter: the nozzle's rim closes it."""
HOLDS = 0.1
"""Share of the cavities' volume that it holds at least."""
STEP = 0.25
LONGEST = 3.0
"""Length over the thickest section up to which it grows before it grows wider (judgement): one as thick as the bait
freezes little later, and time goes with the square of the thickness; a longer one loses its pressure on the way.
"""
SHORTEST = 6.0


@dataclass(frozen=True)
class Sprue:
    """`top` and `bottom` are its radii under the throat and at the parting plane, `throat` that in the seat; mm.

    It runs from z = 0 to `seat_low`, where the nozzle's seat begins, which opens to the block's top at `high`.
    """

    at: Place
    throat: float
    top: float
    bottom: float
    neck_low: float
    seat_low: float
    high: float
    nozzle: float

    def plastic(self) -> Mesh:
        """What stays full of plastic."""
        levels = [(-self.bottom / 2, self.bottom / 2), (0.0, self.bottom), (self.neck_low, self.top)]
        if self.seat_low > self.neck_low:
            levels.append((self.seat_low, self.throat))
        return turned(self.at, levels)

    def seat(self) -> Mesh:
        """Where the nozzle sits."""
        wide = self.nozzle / 2
        return turned(self.at, [(self.seat_low - 0.01, wide - SEAT_LEAN), (self.high, wide), (self.high + 1, wide)])

    def moved(self, at: Place) -> Sprue:
        """The same at another place."""
        return replace(self, at=at)

    @property
    def reach(self) -> float:
        """mm from its line to the farthest that it or the nozzle's seat takes."""
        return max(self.bottom, self.nozzle / 2)

    @property
    def length(self) -> float:
        """mm from the parting plane to the seat."""
        return self.seat_low


def sprue_of(at: Place, thickest: float, volume: float, above: float, nozzle: float) -> Sprue:
    """As thick as the `thickest` section, mm, and longer, then wider, until it holds a tenth of `volume`, mm3.

    `above`: height of the upper half that walls ask for, mm; the sprue's `high` may be more.
    """
    throat = THROAT * nozzle
    top = thickest / 2
    while True:
        narrow = min(throat, top)
        neck = top - narrow
        high = float(math.ceil(max(above, SEAT + neck + SHORTEST)))
        neck_low = high - SEAT - neck
        bottom = top + DRAFT * neck_low
        if _frustum(bottom, top, neck_low) + _frustum(top, narrow, neck) >= HOLDS * volume:
            return Sprue(at, narrow, top, bottom, neck_low, high - SEAT, high, nozzle)
        if high + 1 - SEAT <= LONGEST * thickest:
            above = high + 1
        else:
            top += STEP


def _frustum(low: float, high: float, tall: float) -> float:
    return math.pi * tall * (low * low + low * high + high * high) / 3
