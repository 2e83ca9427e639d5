"""Notch factors of round bars in tension: how much higher the stress is at the root of a groove or a shoulder.

Kt = C1 + C2 x + C3 x^2 + C4 x^3 with x = 2h/D and Ci = a + b sqrt(h/r) + c h/r, on the net section.
Roark's Formulas for Stress and Strain, table 17.1 (U-notch in a circular shaft; square shoulder with fillet in a
circular shaft); the same forms stand in Pilkey, Peterson's Stress Concentration Factors. Small-strain theory: an
estimate for plastics as soft as ours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.strands.roots import Array

Coefficients = tuple[tuple[float, float, float], ...]

U_GROOVE_SHALLOW: Coefficients = (
    (0.455, 3.354, -0.769),
    (3.129, -15.955, 7.404),
    (-6.909, 29.286, -16.104),
    (4.325, -16.685, 9.469),
)
"""0.25 <= h/r <= 2."""
U_GROOVE_DEEP: Coefficients = (
    (0.935, 1.922, 0.004),
    (0.537, -3.708, 0.040),
    (-2.538, 3.438, -0.012),
    (2.066, -1.652, -0.031),
)
"""2 <= h/r <= 50."""
SHOULDER_SHALLOW: Coefficients = (
    (0.927, 1.149, -0.086),
    (0.011, -3.029, 0.948),
    (-0.304, 3.979, -1.737),
    (0.366, -2.098, 0.875),
)
"""0.25 <= h/r <= 2."""
SHOULDER_DEEP: Coefficients = (
    (1.225, 0.831, -0.010),
    (-1.831, -0.318, -0.049),
    (2.236, -0.522, 0.176),
    (-0.630, 0.009, -0.117),
)
"""2 <= h/r <= 20."""

BLUNTING_MM = 0.5
"""Neuber's rounding: a soft elastomer does not feel a flaw smaller than a material length (0.5 mm: judgement)."""

LEAST_RATIO, TURN_RATIO, MOST_RATIO = 0.25, 2.0, 50.0
"""h/r below which the factor fades to 1, at which the two sets of coefficients meet, and beyond which it is flagged."""


@dataclass(frozen=True)
class Notch:
    """Factors, one element a joint, and whether h/r lay beyond the published range."""

    factor: Array
    out_of_range: NDArray[np.bool_]


def _sum(coefficients: Coefficients, ratio: Array, x: Array) -> Array:
    root = np.sqrt(ratio)
    first, second, third, fourth = (a + b * root + c * ratio for a, b, c in coefficients)
    return np.asarray(first + x * (second + x * (third + x * fourth)))


def _chosen(condition: NDArray[np.bool_], yes: Coefficients, no: Coefficients, ratio: Array, x: Array) -> Array:
    """The one set of coefficients where `condition` holds and the other elsewhere; most baits need one of them."""
    if bool(condition.all()):
        return _sum(yes, ratio, x)
    if not bool(condition.any()):
        return _sum(no, ratio, x)
    return np.where(condition, _sum(yes, ratio, x), _sum(no, ratio, x))


def _published(ratio: Array, x: Array, *, shoulder: NDArray[np.bool_]) -> Array:
    deep = ratio > TURN_RATIO
    if not bool(shoulder.any()):
        return _chosen(deep, U_GROOVE_DEEP, U_GROOVE_SHALLOW, ratio, x)
    step = _chosen(deep, SHOULDER_DEEP, SHOULDER_SHALLOW, ratio, x)
    if bool(shoulder.all()):
        return step
    return np.where(shoulder, step, _chosen(deep, U_GROOVE_DEEP, U_GROOVE_SHALLOW, ratio, x))


def stress_concentration(diameter: Array, depth: Array, radius: Array, *, shoulder: NDArray[np.bool_]) -> Array:
    """Kt of U-grooves (or shoulders) `depth` mm deep in bars of `diameter` mm with a root of `radius` mm.

    As published, for 0.25 <= depth / radius <= 50 (20 for shoulders); shapes (n,).
    """
    return _published(depth / radius, 2 * depth / diameter, shoulder=shoulder)


def notch_factors(larger: Array, net: Array, blend: Array, *, shoulder: NDArray[np.bool_]) -> Notch:
    """Notch factors of joints: `larger` the smaller neighbour's diameter, `net` the joint's, `blend` its round; mm.

    The root's radius is the blend and 0.5 mm more (BLUNTING_MM). Below h/r = 0.25 the factor fades as the square root
    does: 1 + (Kt(0.25) - 1) sqrt(4 h/r). Never under 1; beyond h/r = 50 it is held and flagged.
    """
    depth = np.maximum((larger - net) / 2, 0.0)
    ratio = depth / (blend + BLUNTING_MM)
    factor = _published(np.clip(ratio, LEAST_RATIO, MOST_RATIO), 2 * depth / larger, shoulder=shoulder)
    faded = 1 + (factor - 1) * np.sqrt(np.minimum(ratio / LEAST_RATIO, 1.0))
    return Notch(np.maximum(faded, 1.0), ratio > MOST_RATIO)
