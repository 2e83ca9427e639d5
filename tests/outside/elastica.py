"""A heavy cantilever by an integrator of ordinary differential equations: nothing of it is the product's.

E I theta'' = -w (L - s) cos(theta), level at the hold, without a moment at the tip (Euler's elastica under its own
weight; Bickley, The heavy elastica, Philosophical Magazine 17, 1934; from memory).
"""

from __future__ import annotations

import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

GRAVITY = 9.80665
"""m/s2, standard (3rd CGPM, 1901)."""


def fallen(weight: float, stiffness: float, length: float) -> tuple[float, float]:
    """How far the tip lies down and along from the hold, mm; weight in N/mm, stiffness in N mm2, length in mm."""

    def shot(bend: float) -> np.ndarray:
        def rates(s: float, state: np.ndarray) -> list[float]:
            angle, turn = state[0], state[1]
            return [turn, -weight * (length - s) * math.cos(angle) / stiffness, math.sin(angle), math.cos(angle)]

        solved = solve_ivp(rates, (0, length), [0.0, bend, 0.0, 0.0], rtol=1e-9, atol=1e-11)
        return np.asarray(solved.y[:, -1])

    # Small turns bend more than large ones: their bend at the hold is the most that it can be.
    most = weight * length**2 / 2 / stiffness
    bend = brentq(lambda each: shot(each)[1], 0.0, most * (1 + 1e-6), xtol=1e-14)
    state = shot(bend)
    return float(state[2]), float(state[3])


def weight_of_rod(diameter: float, density: float) -> float:
    """N/mm of a round rod; mm and g/cm3."""
    return density * 1e-6 * GRAVITY * math.pi / 4 * diameter**2


def stiffness_of_rod(diameter: float, modulus: float) -> float:
    """EI in N mm2 of a round rod; mm and MPa. I = pi d^4 / 64 (Roark's Formulas for Stress and Strain, table A.1)."""
    return modulus * math.pi * diameter**4 / 64


def drop_of_rod(diameter: float, modulus: float, density: float, length: float) -> float:
    """How far the tip of a rod hangs below its hold, mm."""
    return fallen(weight_of_rod(diameter, density), stiffness_of_rod(diameter, modulus), length)[0]


def overhang_of_rod(diameter: float, modulus: float, density: float, degrees: float = 41.5) -> float:
    """How much of a rod overhangs where the line to its tip falls by `degrees`, mm."""
    weight, stiffness = weight_of_rod(diameter, density), stiffness_of_rod(diameter, modulus)
    size = math.cbrt(stiffness / weight)

    def miss(length: float) -> float:
        down, along = fallen(weight, stiffness, length)
        return math.degrees(math.atan2(down, along)) - degrees

    return float(brentq(miss, size, 3 * size, rtol=1e-9))
