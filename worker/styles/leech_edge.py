"""The edge of a flat body: which superellipse is so thick, so far inside of its rim.

|y / a|^n + |z / b|^n = 1 is a lens for n under 2 and an ellipse at 2. A body's edge is taken half its own thickness
inside of the rim, where a ball as thick as the edge is centred: 2 b (1 - (1 - e / 2a)^n)^(1/n).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

LEAST, MOST = 1.5, 3.0
"""Exponents of sections that still look like a leech's: from a lens to a rounded plate (judgement)."""
STEPS = 1000
"""Exponents are whole thousandths, so that no last digit of a logarithm reaches a file."""

Half = tuple[float, float]


def edge_of(half: Half, exponent: float, inside: float) -> float:
    """Thickness, mm, `inside` mm from the rim of a section of half-width and half-height `half`."""
    a, b = half
    if inside >= a:
        return 2 * b
    return 2 * b * math.pow(1 - math.pow(1 - inside / a, exponent), 1 / exponent)


def exponent_of(halves: Iterable[Half], edge: float) -> float | None:
    """The least exponent with which every section's edge is `edge` mm thick or thicker; None where none is."""
    least = 0
    for half in halves:
        low, high = round(LEAST * STEPS), round(MOST * STEPS)
        if edge_of(half, high / STEPS, edge / 2) < edge:
            return None
        while low < high:
            middle = (low + high) // 2
            low, high = (low, middle) if edge_of(half, middle / STEPS, edge / 2) >= edge else (middle + 1, high)
        least = max(least, low)
    return least / STEPS


def thickest_edge(halves: Iterable[Half]) -> float:
    """The greatest edge, mm, that such sections can have, rounded down to 0.01 mm."""
    sections = tuple(halves)
    low, high = 0, 1000
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if exponent_of(sections, middle / 100) is not None else (low, middle - 1)
    return low / 100
