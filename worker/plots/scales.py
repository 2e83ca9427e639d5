"""Axes: from a figure to a place on the page, with ticks that read well."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

MOST_TICKS = 5
INCH = 25.4
"""mm, exactly (NIST SP 811)."""


@dataclass(frozen=True)
class Scale:
    """`place` gives pixels down the page; `ticks` are figures with their words."""

    place: Callable[[float], float]
    ticks: tuple[tuple[float, str], ...]


def step_of(span: float, most: int) -> float:
    """The least of 1, 2, 5, 10, 20, ... that divides `span` into at most `most` steps."""
    for power in range(-6, 12):
        for lead in (1, 2, 5):
            step = lead * 10.0**power
            if span / step <= most:
                return step
    raise ValueError(span)


def linear(greatest: float, top: float, bottom: float) -> Scale:
    """From 0 at `bottom` to at least `greatest` at `top`, pixels."""
    step = step_of(max(greatest, 1e-6), MOST_TICKS)
    count = max(math.ceil(greatest / step - 1e-9), 1)
    over = count * step
    ticks = tuple((step * k, f"{step * k:g}") for k in range(count + 1))
    return Scale(lambda value: bottom - (bottom - top) * value / over, ticks)


def decades(least: float, greatest: float, top: float, bottom: float) -> Scale:
    """Powers of ten between two figures over 0, pixels; the figures' own decades are whole."""
    low, high = math.floor(round(math.log10(least), 6)), math.ceil(round(math.log10(greatest), 6))
    high = max(high, low + 1)
    ticks = tuple((10.0**k, f"{10.0**k:g}") for k in range(low, high + 1))
    return Scale(lambda value: bottom - (bottom - top) * (math.log10(value) - low) / (high - low), ticks)


def in_inches(millimetres: float) -> str:
    """A length as a maker reads it: whole inches and sixteenths."""
    sixteenths = round(millimetres / INCH * 16)
    whole, rest = divmod(abs(sixteenths), 16)
    sign = "-" if sixteenths < 0 else ""
    if rest == 0:
        return f"{sign}{whole} in"
    shared = math.gcd(rest, 16)
    part = f"{rest // shared}/{16 // shared}"
    return f"{sign}{whole}-{part} in" if whole else f"{sign}{part} in"
