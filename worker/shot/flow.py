"""How plastic runs through a gate: the published laminar flow in a slot, and in a round channel."""

from __future__ import annotations

import math

TERMS = 20


def slot_factor(ratio: float) -> float:
    """What the side walls of a slot leave of the flow between wide plates; `ratio`: least side over the other, 0 to 1.

    1 - 192 ratio / pi^5 sum of tanh(n pi / (2 ratio)) / n^5 over odd n (Boussinesq 1868; White, Viscous Fluid Flow,
    section 3-3.3): 0.4217 of a square.
    """
    if ratio <= 0:
        return 1.0
    odd = (math.tanh(n * math.pi / (2 * ratio)) / n**5 for n in range(1, 2 * TERMS, 2))
    return 1 - 192 * ratio / math.pi**5 * math.fsum(odd)


def slot_drop(viscosity: float, width: float, depth: float, length: float, flow: float) -> float:
    """Pressure, MPa, that a slot `width` by `depth` and `length` mm takes of `flow` mm3/s; `viscosity` in Pa.s.

    12 mu L Q / (w h^3) (Poiseuille), over `slot_factor`; h is the lesser side.
    """
    least, other = min(width, depth), max(width, depth)
    return 12 * viscosity * length * flow / (other * least**3 * slot_factor(least / other)) * 1e-6


def round_drop(viscosity: float, length: float, diameter: float, flow: float) -> float:
    """Pressure, MPa, that a round channel takes of `flow` mm3/s: 8 mu L Q / (pi r^4) (Hagen and Poiseuille)."""
    radius = diameter / 2
    return 8 * viscosity * length * flow / (math.pi * radius**4) * 1e-6
