"""Drag of a bait's parts as they fall broadside or on end, and the speed at which drag bears a net weight.

Cylinders: Aeronautical Engineer's Data Book, figure 5.13(b), by length over diameter; a square plate: the same book. A
long plate of 5 : 1: White, Fluid Mechanics (from memory). They hold where a bait's speed times its thickness over the
water's viscosity is some hundreds and more; a speed that follows is good to a quarter.
"""

from __future__ import annotations

import math
from itertools import pairwise

GRAVITY = 9.80665
"""m/s2, standard."""

ROUND_CROSSWISE = ((1.0, 0.63), (2.0, 0.68), (5.0, 0.74), (10.0, 0.82), (40.0, 0.98))
"""Length over diameter, and the drag coefficient on length times diameter."""
ROUND_ENDWISE = ((1.0, 0.91), (2.0, 0.85), (4.0, 0.87), (7.0, 0.99))
"""Length over diameter, and the drag coefficient on the round's own area."""
FRICTION = 0.03
"""By how much that grows with every further diameter of length: the water drags along the skin (judgement)."""
FLAT_CROSSWISE = ((1.0, 1.17), (5.0, 1.20))
"""Length over width, and the drag coefficient on length times width of a plate."""
FLAT_FROM = 2.5
"""Wider than so many times its height a part counts as a plate; between 1 and this in between (judgement)."""


def _between(table: tuple[tuple[float, float], ...], ratio: float) -> float:
    """Even in the logarithm of the ratio between two rows, level beyond the first and the last."""
    if ratio <= table[0][0]:
        return table[0][1]
    for (low, first), (high, second) in pairwise(table):
        if ratio <= high:
            return first + (second - first) * math.log(ratio / low) / math.log(high / low)
    return table[-1][1]


def crosswise(length_over_width: float, width_over_height: float) -> float:
    """Drag coefficient, on the area seen from above, of a part that falls level."""
    round_, flat = _between(ROUND_CROSSWISE, length_over_width), _between(FLAT_CROSSWISE, length_over_width)
    flatness = min(max((width_over_height - 1) / (FLAT_FROM - 1), 0.0), 1.0)
    return round_ + flatness * (flat - round_)


def endwise(length_over_width: float) -> float:
    """Drag coefficient, on the area seen from ahead, of a part that falls on end."""
    return _between(ROUND_ENDWISE, length_over_width) + FRICTION * max(length_over_width - ROUND_ENDWISE[-1][0], 0.0)


def terminal_speed(net_mass_g: float, drag_area_mm2: float, density: float) -> float:
    """Speed, mm/s, at which drag bears the weight of `net_mass_g` in water of `density` kg/m3; below 0 it rises.

    W = rho Cd A v^2 / 2, with `drag_area_mm2` the drag coefficient times the area.
    """
    squared = 2 * abs(net_mass_g) / 1000 * GRAVITY / (density * drag_area_mm2 / 1e6)
    return math.copysign(1000 * math.sqrt(squared), net_mass_g)
