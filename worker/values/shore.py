"""Shore 00 and Young's modulus: what contact mechanics makes of a type 00 durometer's foot, either way."""

from __future__ import annotations

import math

FOOT_MM, SPRING_N, SPRING_N_PER_UNIT, TRAVEL_MM = 1.19, 0.203, 0.00908, 2.54
"""Radius of the type 00 foot, its spring's force at 0 and by unit, and how far it goes in at 0 (from memory)."""
HARDEST = 99.0
"""The scale's end is no reading: its foot would not go in at all."""
HALVINGS = 60


def modulus_of_00(value: float) -> float:
    """Hertz's contact of a ball and a half-space that keeps its volume: E = 9 F / (16 sqrt(R) h^1.5), MPa."""
    force = SPRING_N + SPRING_N_PER_UNIT * value
    depth = TRAVEL_MM * (1 - value / 100)
    return 9 * force / (16 * math.sqrt(FOOT_MM) * depth * math.sqrt(depth))


def shore_00_of(modulus: float) -> float:
    """The reading, 0 to 99, at which that is the modulus, MPa; 0 for what is softer still."""
    low, high = 0.0, HARDEST
    if modulus <= modulus_of_00(low) or modulus >= modulus_of_00(high):
        return low if modulus <= modulus_of_00(low) else high
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if modulus_of_00(middle) < modulus else (low, middle)
    return high
