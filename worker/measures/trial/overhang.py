"""How much of an even round rod has to hang over an edge until the line to its tip falls 41.5 degrees."""

from __future__ import annotations

import math

from worker.measures.water.drag import GRAVITY


def overhang_of(diameter: float, modulus: float, density: float) -> float:
    """mm: twice the bending length (EI / w)^(1/3) of a rod of `diameter` mm, in MPa and g/cm3.

    Peirce, The handle of cloth as a measurable quantity, Journal of the Textile Institute 21 (1930); ISO 9073-7 and
    ASTM D1388 use the angle. E = 16 rho g c^3 / d^2, turned round: what `pieces` makes of a measured overhang.
    """
    # g/cm3 times m/s2 are 1e-6 N/mm3.
    return 2 * math.cbrt(modulus * diameter * diameter * 1e6 / (16 * density * GRAVITY))
