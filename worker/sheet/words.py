"""Figures as the bench reads them: millimetres with inches, grams with ounces, degrees both ways."""

from __future__ import annotations

from decimal import Decimal

INCH, OUNCE = 25.4, 28.349523125
"""Exact: NIST SP 811, appendix B.8."""
LEAST_KPA = 0.1
"""No gauge at a bench tells less."""


def figure(value: float, digits: int = 3) -> str:
    """So many significant digits, never as a power of ten: 2830, 0.0123, 100."""
    return f"{Decimal(f'{value:.{digits}g}'):f}"


def length(millimetres: float) -> str:
    """As in: 127 mm (5.00 in)."""
    return f"{millimetres:.1f} mm ({millimetres / INCH:.2f} in)"


def mass(grams: float) -> str:
    """As in: 6.81 g (0.240 oz)."""
    return f"{figure(grams)} g ({figure(grams / OUNCE)} oz)"


def degrees(celsius: float) -> str:
    """As in: 175 °C (347 °F)."""
    return f"{celsius:.0f} °C ({fahrenheit(celsius):.0f} °F)"


def fahrenheit(celsius: float) -> float:
    """Degrees Fahrenheit."""
    return celsius * 1.8 + 32


def seconds(low: float, high: float) -> str:
    """A range of times, as in: 106 to 280 s."""
    return f"{_range(_time(low), _time(high))} s"


def _time(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else figure(value, 2)


def pressure(low: float, high: float) -> str:
    """A range of pressures, told in MPa, as in: 1.2 to 12 kPa; a breath's share of that is but under 0.1 kPa."""
    if 1000 * high < LEAST_KPA:
        return f"under {LEAST_KPA:g} kPa"
    least = f"under {LEAST_KPA:g}" if 1000 * low < LEAST_KPA else figure(1000 * low, 2)
    return f"{_range(least, figure(1000 * high, 2))} kPa"


def _range(low: str, high: str) -> str:
    return low if low == high else f"{low} to {high}"


def newtons(pull: float) -> str:
    """As in: 25.4, or 142."""
    return f"{pull:.0f}" if pull >= 100 else figure(pull)
