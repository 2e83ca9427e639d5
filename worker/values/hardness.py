"""Stiffness from a durometer: Shore A by Gent's relation, Shore 00 by the band that contact mechanics gives."""

from __future__ import annotations

import math
from statistics import NormalDist

from worker.values.plastics import Range
from worker.values.shore import modulus_of_00

LOW_CONFIDENCE = 20.0
"""Below Shore A 20 a durometer says little: the band reaches down to what another relation tells."""
BAND, WIDE_BAND = (0.8, 1.25), (0.6, 1.6)
"""Low and high over the typical modulus (judgement)."""
LEAST_READING = 2.0
"""Shore A under which that relation runs to no stiffness at all (judgement)."""
SCALES = ("A", "00")


def modulus_of(scale: str, value: float) -> Range:
    """Young's modulus, MPa, of a hardness.

    Shore A: E = 0.0981 (56 + 7.62336 S) / (0.137505 (254 - 2.54 S)) (Gent 1958).
    """
    if scale == "A":
        typical = 0.0981 * (56 + 7.62336 * value) / (0.137505 * (254 - 2.54 * value))
        unsure = value < LOW_CONFIDENCE
        low, high = WIDE_BAND if unsure else BAND
        low = min(low, _by_erf(value) / typical) if unsure else low
        words = f"Shore A {value:g} by Gent's relation (1958)"
        words += ", of low confidence below A 20" if unsure else ""
    else:
        low, high = WIDE_BAND
        typical, words = modulus_of_00(value), f"Shore 00 {value:g} by the contact of its foot, as a band"
    least, most = round(low * typical, 6), round(high * typical, 6)
    return Range(least, round(typical, 6), most, "MPa", words)


def _by_erf(value: float) -> float:
    """The relation S = 100 erf(3.186e-4 sqrt(E in Pa)), MPa: of soft gels it tells 2 to 14 times less than Gent's."""
    root = NormalDist().inv_cdf((1 + max(value, LEAST_READING) / 100) / 2) / math.sqrt(2) / 3.186e-4
    return root * root / 1e6
