"""How long plastic takes to cool in a mould: the published series for a long cylinder and a wide plate.

Carslaw and Jaeger, Conduction of Heat in Solids (2nd ed. 1959): the plate in section 3.3, the cylinder in 7.6, each
with its surface held; with heat passing through the mould's wall, Incropera and DeWitt, Fundamentals of Heat and Mass
Transfer, sections 5.5 and 5.6 (eq. 5.39 to 5.49). The middle's temperature is meant, which is the hottest.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

Form = Literal["cylinder", "plate"]

ZEROS = tuple(jn_zeros(0, 8).tolist())
"""Of the Bessel function J0."""
TERMS = 12
"""Of the plate's series."""
BETWEEN: dict[Form, tuple[tuple[float, float], ...]] = {
    "cylinder": tuple(zip((0.0, *jn_zeros(1, 7).tolist()), ZEROS, strict=True)),
    "plate": tuple((n * math.pi, (n + 0.5) * math.pi) for n in range(len(ZEROS))),
}
"""Where one root each lies with a wall: between that of a wall that lets nothing pass and that of one held cold."""
EARLIEST, LATEST = 0.02, 1e5
"""Fourier numbers between which a time is looked for: before the first the middle has not begun to cool, and
by the last the thinnest bait in a mould that insulates has come within rounding of its mould's warmth."""


@dataclass(frozen=True, slots=True)
class Body:
    """What cools: a cylinder `across` mm in diameter, or a plate so thick."""

    form: Form
    across: float


def middle_left(form: Form, fourier: float) -> float:
    """Share of the first difference to the wall that is left in the middle.

    `fourier` is diffusivity times time over the square of half the thickness.
    """
    if form == "cylinder":
        return float(sum(2 / (zero * float(j1(zero))) * math.exp(-zero * zero * fourier) for zero in ZEROS))
    odd = (
        (-1) ** n * 4 / math.pi / (2 * n + 1) * math.exp(-(((n + 0.5) * math.pi) ** 2) * fourier) for n in range(TERMS)
    )
    return math.fsum(odd)


def through_wall(form: Form, biot: float) -> Callable[[float], float]:
    """The same, as a function of `fourier`, where heat has to pass a wall.

    `biot` is the wall's conductance times half the thickness over the plastic's conductivity.
    """
    terms = roots(form, biot)
    return lambda fourier: math.fsum(first * math.exp(-root * root * fourier) for root, first in terms)


def roots(form: Form, biot: float) -> tuple[tuple[float, float], ...]:
    """The first roots of root J1(root) = biot J0(root), or of root tan(root) = biot, each with its coefficient."""
    return tuple(_term(form, biot, *ends) for ends in BETWEEN[form])


def _term(form: Form, biot: float, low: float, high: float) -> tuple[float, float]:
    if form == "cylinder":
        root = _root(lambda x: x * float(j1(x)) - biot * float(j0(x)), low, high)
        bessel_0, bessel_1 = float(j0(root)), float(j1(root))
        return root, 2 / root * bessel_1 / (bessel_0 * bessel_0 + bessel_1 * bessel_1)
    root = _root(lambda x: x * math.sin(x) - biot * math.cos(x), low, high)
    return root, 4 * math.sin(root) / (2 * root + math.sin(2 * root))


def seconds_to(left: Callable[[float], float], share: float, half: float, diffusivity: float) -> float:
    """When only `share` of the first difference is left, s; `half` mm the half thickness, `diffusivity` in mm2/s."""
    if left(EARLIEST) <= share:
        return EARLIEST * half * half / diffusivity
    fourier = _root(lambda number: share - left(number), EARLIEST, LATEST)
    return fourier * half * half / diffusivity


def _root(crossing: Callable[[float], float], low: float, high: float) -> float:
    return float(brentq(crossing, low, high))
