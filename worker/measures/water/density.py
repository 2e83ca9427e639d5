"""Density of fresh and of salt water: the international equation of state EOS-80 at one atmosphere.

Fofonoff and Millard, Algorithms for computation of fundamental properties of seawater, UNESCO Technical Papers in
Marine Science 44 (1983). Without salt it is Bigg's formula for pure water. Its temperatures are of the scale IPTS-68;
today's (ITS-90) are times 1.00024.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

IPTS_68_OVER_ITS_90 = 1.00024

_PURE = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
_BY_SALT = (0.824493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
_BY_SALT_AND_ITS_ROOT = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
_BY_SALT_SQUARED = 4.8314e-4


def water_density(temperature_c: float, salinity: float = 0.0) -> float:
    """kg/m3 at one atmosphere; practical salinity (about grams of salt in a kilogram) 0 to 42, 0 to 40 degrees C."""
    t = temperature_c * IPTS_68_OVER_ITS_90
    return (
        _polynomial(_PURE, t)
        + salinity * _polynomial(_BY_SALT, t)
        + salinity * math.sqrt(salinity) * _polynomial(_BY_SALT_AND_ITS_ROOT, t)
        + salinity * salinity * _BY_SALT_SQUARED
    )


def _polynomial(coefficients: Sequence[float], t: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * t + coefficient
    return total
