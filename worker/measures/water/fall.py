"""Whether a bait floats, suspends or sinks, how fast, and how its nose points as it does: slack line, still water.

Attitude (our own derivation): a slender body that falls broadside with its nose `angle` down is turned back to level by
the flow around it (Munk's moment, rho v^2 V sin(angle) cos(angle)) and nose down by its net weight W that acts at
another place than its drag does (W = rho v^2 Cd A / 2); the two are even where
tan(angle) = Cd A moment / (2 V W), with `moment` the net weights times how far each acts ahead of the drag.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from worker.measures.water.drag import terminal_speed
from worker.measures.water.spread import Spread
from worker.values.plastics import Range

Behaviour = Literal["floats", "suspends", "sinks"]

SUSPENDS_SHARE = 0.003
"""A net mass under this share of the mass suspends."""
SPEED_WITHIN = 0.25
"""A speed is good to this share of itself."""


@dataclass(frozen=True)
class Hung:
    """What hangs on the bait: mass in air, g, density, g/cm3, and where along x it acts, mm."""

    mass: float
    density: float
    x: float


@dataclass(frozen=True)
class Fall:
    """Masses g, the net ones in water (below 0: it rises); speeds mm/s, down; `attitude` nose down, degrees.

    All rounded to a millionth: what is left where two things are even is nothing.

    `unsure`: it suspends because the plastic's density is not known well enough to say more.
    """

    mass: float
    net: float
    net_low: float
    net_high: float
    behaviour: Behaviour
    unsure: bool
    speed: float
    speed_low: float
    speed_high: float
    attitude: float


def fall_of(spread: Spread, volume: float, density: Range, water: float, hung: Sequence[Hung] = ()) -> Fall:
    """The fall of a bait of `volume` mm3 in water of `water` kg/m3, with what hangs on it.

    Hollows are full of water.
    """
    cm3, thin = volume / 1000, water / 1000
    hung_mass = sum(each.mass for each in hung)
    submerged = [(each.mass * (1 - thin / each.density), each.x) for each in hung]
    low, net, high = (
        cm3 * (each - thin) + sum(weight for weight, _ in submerged)
        for each in (density.low, density.typical, density.high)
    )
    mass = cm3 * density.typical + hung_mass
    moments = [(cm3 * (density.typical - thin), spread.middle), *submerged]
    moment = sum(weight * (spread.drag_middle - x) for weight, x in moments)
    # A body that rises is turned by the same flow, so its net weight counts by its size.
    angle = math.atan2(spread.drag * moment, 2 * volume * abs(net))
    level, steep = math.cos(angle), abs(math.sin(angle))
    drag = spread.drag * level * level * level + spread.ahead * steep * steep * steep
    speeds = [terminal_speed(each, drag, water) for each in (low, net, high)]
    least = SUSPENDS_SHARE * mass
    unsure = low < 0 < high and max(-low, high) >= least
    behaviour: Behaviour = "suspends" if unsure or abs(net) < least else "sinks" if net > 0 else "floats"
    low_speed, speed, high_speed = (round(each, 6) for each in speeds)
    return Fall(
        round(mass, 6),
        round(net, 6),
        round(low, 6),
        round(high, 6),
        behaviour,
        unsure,
        speed,
        low_speed,
        high_speed,
        round(math.degrees(angle), 6),
    )
