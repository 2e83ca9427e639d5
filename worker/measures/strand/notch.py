"""Notch factors of round and flat bars in tension: how much higher the stress is at the root of a groove or a shoulder.

Kt = C1 + C2 x + C3 x^2 + C4 x^3 with x = 2h/D and Ci = a + b sqrt(h/r) + c h/r, on the net section.
Roark's Formulas for Stress and Strain, table 17.1 (U-notch in a circular shaft; square shoulder with fillet in a
circular shaft; from memory, held by their sum of one and by where they meet: two U-notches, and a square shoulder with
fillet, in a member of rectangular section); the same forms stand in Pilkey, Peterson's Stress Concentration Factors.
Small-strain theory: an estimate for plastics as soft as ours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.strands.roots import Array
from worker.values.questions import NOTCH_ROUNDING

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

FLAT_GROOVE_SHALLOW: Coefficients = (
    (0.850, 2.628, -0.413),
    (-1.119, -4.826, 2.575),
    (3.563, -0.514, -2.402),
    (-2.294, 2.713, 0.240),
)
"""0.1 <= h/r <= 2."""
FLAT_GROOVE_DEEP: Coefficients = (
    (0.833, 2.069, -0.009),
    (2.732, -4.157, 0.176),
    (-8.859, 5.327, -0.320),
    (6.294, -3.239, 0.154),
)
"""2 <= h/r <= 50."""
FLAT_SHOULDER_SHALLOW: Coefficients = (
    (1.006, 1.008, -0.044),
    (-0.115, -0.584, 0.315),
    (0.245, -1.006, -0.257),
    (-0.135, 0.582, -0.017),
)
"""0.1 <= h/r <= 2."""
FLAT_SHOULDER_DEEP: Coefficients = (
    (1.020, 1.009, -0.048),
    (-0.065, -0.165, -0.007),
    (-3.459, 1.266, -0.016),
    (3.505, -2.109, 0.069),
)
"""2 <= h/r <= 20."""
ROUND = (U_GROOVE_SHALLOW, U_GROOVE_DEEP, SHOULDER_SHALLOW, SHOULDER_DEEP)
FLAT = (FLAT_GROOVE_SHALLOW, FLAT_GROOVE_DEEP, FLAT_SHOULDER_SHALLOW, FLAT_SHOULDER_DEEP)

FLAT_FROM, FLAT_AT = 2.5, 3.5
"""A section wider than this over its thickness begins to count as a flat bar, and counts wholly as one (judgement)."""

BLUNTING_MM = float(NOTCH_ROUNDING.default)
"""Neuber's rounding: a soft elastomer does not feel a flaw smaller than a material length (0.5 mm: judgement). It
is what counts where a request says no other."""

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


def _published(ratio: Array, x: Array, *, shoulder: NDArray[np.bool_], bar: tuple[Coefficients, ...] = ROUND) -> Array:
    groove_shallow, groove_deep, shoulder_shallow, shoulder_deep = bar
    deep = ratio > TURN_RATIO
    if not bool(shoulder.any()):
        return _chosen(deep, groove_deep, groove_shallow, ratio, x)
    step = _chosen(deep, shoulder_deep, shoulder_shallow, ratio, x)
    if bool(shoulder.all()):
        return step
    return np.where(shoulder, step, _chosen(deep, groove_deep, groove_shallow, ratio, x))


def stress_concentration(
    diameter: Array, depth: Array, radius: Array, *, shoulder: NDArray[np.bool_], flat: bool = False
) -> Array:
    """Kt of U-grooves (or shoulders) `depth` mm deep in bars of `diameter` mm with a root of `radius` mm.

    Of `flat` bars the diameter is their thickness over both grooves. As published, for 0.25 <= depth / radius <= 50
    (20 for shoulders); shapes (n,).
    """
    return _published(depth / radius, 2 * depth / diameter, shoulder=shoulder, bar=FLAT if flat else ROUND)


def notch_factors(
    larger: Array,
    net: Array,
    blend: Array,
    *,
    shoulder: NDArray[np.bool_],
    sides: tuple[Array, Array] | None = None,
    blunting: float = BLUNTING_MM,
) -> Notch:
    """Notch factors of joints: `larger` the smaller neighbour's diameter, `net` the joint's, `blend` its round; mm.

    Both diameters are those of circles of the sections' areas, so that half their difference is the mean depth h of the
    relief. `sides` are the joint's half-width and half-height: where it is wider than 2.5 : 1 it is a flat bar, notched
    by h on both faces of its thickness (wholly from 3.5 : 1 on, so that no figure jumps).

    The root's radius is the blend and `blunting` mm more. Below h/r = 0.25 the factor fades as the square root
    does: 1 + (Kt(0.25) - 1) sqrt(4 h/r). Never under 1; beyond h/r = 50 it is held and flagged.
    """
    depth = np.maximum((larger - net) / 2, 0.0)
    ratio = depth / (blend + blunting)
    held = np.clip(ratio, LEAST_RATIO, MOST_RATIO)
    factor = _published(held, 2 * depth / larger, shoulder=shoulder)
    if sides is not None:
        thin, wide = 2 * np.minimum(*sides), 2 * np.maximum(*sides)
        share = np.clip((wide / np.maximum(thin, 1e-9) - FLAT_FROM) / (FLAT_AT - FLAT_FROM), 0.0, 1.0)
        if bool((share > 0).any()):
            flat = _published(held, 2 * depth / np.maximum(thin + 2 * depth, 1e-9), shoulder=shoulder, bar=FLAT)
            factor = factor + share * (flat - factor)
    faded = 1 + (factor - 1) * np.sqrt(np.minimum(ratio / LEAST_RATIO, 1.0))
    return Notch(np.maximum(faded, 1.0), ratio > MOST_RATIO)
