"""Figures as the bench reads them: millimetres with inches, grams with ounces, degrees both ways."""

from __future__ import annotations

INCH, OUNCE = 25.4, 28.349523125
"""Exact: NIST SP 811, appendix B.8."""


def length(millimetres: float) -> str:
    """As in: 127 mm (5.00 in)."""
    return f"{millimetres:.1f} mm ({millimetres / INCH:.2f} in)"


def mass(grams: float) -> str:
    """As in: 6.81 g (0.240 oz)."""
    return f"{grams:.3g} g ({grams / OUNCE:.3g} oz)"


def degrees(celsius: float) -> str:
    """As in: 175 °C (347 °F)."""
    return f"{celsius:.0f} °C ({fahrenheit(celsius):.0f} °F)"


def fahrenheit(celsius: float) -> float:
    """Degrees Fahrenheit."""
    return celsius * 1.8 + 32


def seconds(low: float, high: float) -> str:
    """A range of times, as in: 106 to 280 s."""
    if f"{low:.2g}" == f"{high:.2g}":
        return f"{low:.2g} s"
    return f"{_time(low)} to {_time(high)} s"


def _time(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.2g}"


def newtons(pull: float) -> str:
    """As in: 25.4, or 142."""
    return f"{pull:.0f}" if pull >= 100 else f"{pull:.3g}"
