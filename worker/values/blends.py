"""Softener, hardener and the temperature of use: rules of judgement that widen every range they move.

Each is a rate of ln(figure) by per cent, or by degree: the least, what is reckoned with, and the most. Only one of them
has a measurement behind it: a plastisol gel of 212 kPa at 20 °C had 8.7 kPa at 45 °C (from its shear-wave speeds,
Physics Procedia 2015), which is 0.128 a degree and taken as the most.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from worker.values.own_plastics import plastic_of
from worker.values.plastics import Plastic, Range

USUAL_C = 20.0
"""The temperature that figures of plastics are told at."""

Rate = tuple[float, float, float]

SOFTENED: Mapping[str, Rate] = {"modulus": (0.02, 0.035, 0.05), "strength": (0.01, 0.02, 0.03)}
HARDENED: Mapping[str, Rate] = {"modulus": (0.02, 0.035, 0.05), "strength": (0.005, 0.015, 0.025)}
WARMED: Mapping[str, Rate] = {
    "modulus": (0.01, 0.04, math.log(212 / 8.7) / 25),
    "strength": (0.005, 0.015, 0.03),
    "tear_energy": (0.005, 0.015, 0.03),
}
SOFTENER_DENSITY: Rate = (0.96, 0.985, 1.01)
HARDENER_DENSITY: Rate = (1.06, 1.12, 1.18)
"""g/cm3, least, usual and most (from memory, judgement)."""


def poured(asked: Mapping[str, Any]) -> Plastic:
    """The plastic of a request's `plastic` in normal form as it is poured and used: softened, hardened, salted, warm.

    Softener and hardener are parts of the plastic by weight, which salt is then added to.
    """
    plastic = plastic_of(asked)
    plastic = _with(plastic, asked["softener_pct"], SOFTENER_DENSITY, SOFTENED, -1)
    plastic = _with(plastic, asked["hardener_pct"], HARDENER_DENSITY, HARDENED, 1)
    plastic = plastic.with_salt(asked["salt_wt_pct"])
    return _moved(plastic, WARMED, USUAL_C - asked["temperature_c"])


def is_blended(asked: Mapping[str, Any]) -> bool:
    """Whether any of these rules moves a figure."""
    return bool(asked["softener_pct"] or asked["hardener_pct"] or asked["temperature_c"] != USUAL_C)


def _with(plastic: Plastic, per_cent: float, density: Rate, rates: Mapping[str, Rate], way: int) -> Plastic:
    if per_cent == 0:
        return plastic
    share, own = per_cent / 100, plastic.density
    # Mass fractions, as with salt.
    low, typical, high = (
        1 / ((1 - share) / of + share / added)
        for of, added in zip((own.low, own.typical, own.high), density, strict=True)
    )
    mixed = replace(plastic, density=Range(low, typical, high, own.unit, own.source))
    return _moved(mixed, rates, way * per_cent)


def _moved(plastic: Plastic, rates: Mapping[str, Rate], by: float) -> Plastic:
    if by == 0:
        return plastic
    moved: dict[str, Any] = {name: _scaled(getattr(plastic, name), rate, by) for name, rate in rates.items()}
    return replace(plastic, **moved)


def _scaled(of: Range, rate: Rate, by: float) -> Range:
    # Whichever way it goes, the low end takes the rate that leaves least, and the high end the one that leaves most.
    least, usual, most = rate if by > 0 else rate[::-1]
    low, typical, high = (math.exp(each * by) for each in (least, usual, most))
    return Range(of.low * low, of.typical * typical, of.high * high, of.unit, of.source)
