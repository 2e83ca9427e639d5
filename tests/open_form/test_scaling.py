"""The open form twice as large, and in inches: what must change in a known way, and what must not change at all."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from tests.open_form.bodies import solid_of
from worker.estimate import estimate
from worker.open_form.examples import EXAMPLES, Example
from worker.request import Request, read_request

LENGTHS = (
    *("length", "width", "back", "belly", "height", "floor", "blend", "pitch", "depth", "land", "edge", "raised"),
    *("diameter", "wall", "arrive", "leave", "root_blend", "root", "tip", "head"),
)
"""Members whose number is a length: shares, angles, exponents and counts have other names."""
POINTS = ("start", "points", "point", "tangent")
"""Members whose numbers, lists deep, are coordinates."""
MM_PER_INCH = Fraction(254, 10)  # by definition (NIST SP 811, appendix B.8)
SIXTY_FOURTHS = 64
INCH = 25.4 / SIXTY_FOURTHS
TOLERANCE = 0.05
EXACT, COUNTED = 1e-4, 3e-3
"""Shares by which an estimate may be off: of strands, which are integrals; of what hollows take, which is counted in
places. A hollow begins half a millimetre or more beyond the skin, whatever the bait's size, and its places with it; an
estimate is held to its mesh within 0.01 (tests/property/test_estimates.py)."""
SMALLER = {"plates": 0.6}
"""What is made smaller first, for twice its pitch is more than ribs may stand apart."""
Length = Callable[[float], Any]


def remade(told: Any, length: Length, name: str = "") -> Any:
    """A part of a request with every length in it put through `length`, places told in text too."""
    if isinstance(told, dict):
        return {member: remade(below, length, member) for member, below in told.items()}
    if isinstance(told, list):
        return [remade(below, length, name) for below in told]
    if isinstance(told, str) and told.endswith(" mm"):
        made = length(float(told.removesuffix(" mm")))
        return made if isinstance(made, str) else f"{made!r} mm"
    if isinstance(told, (int, float)) and not isinstance(told, bool) and name in LENGTHS + POINTS:
        return length(float(told))
    return told


def of(told: Any, length: Length, tolerance: float = TOLERANCE) -> Request:
    """The open form's request of these members with every length put through `length`."""
    members = {name: remade(told[name], length) for name in ("strands", "hollows") if name in told}
    return read_request({**members, "tolerance_mm": tolerance, "outputs": ["stl"]})


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_all_lengths_twice_make_eight_times_the_volume(example: Example) -> None:
    """Of similar solids lengths are as 1 to 2, surfaces as 1 to 4 and volumes as 1 to 8 (Euclid XI, 33 and XII, 18)."""
    normal, share = read_request(example.body).normal, SMALLER.get(example.name, 1.0)  # every default is written there
    once = of(normal, lambda length: share * length)
    twice = of(normal, lambda length: 2 * share * length, 2 * TOLERANCE)
    within = COUNTED if example.body.get("hollows") else EXACT
    small, large = (estimate(request) for request in (once, twice))
    one, two = small["metrics"], large["metrics"]
    assert two["volume_mm3"] == pytest.approx(8 * one["volume_mm3"], rel=within)
    assert two["surface_mm2"] == pytest.approx(4 * one["surface_mm2"], rel=within)
    for name in ("length_mm", "max_width_mm", "max_height_mm"):
        assert two[name] == pytest.approx(2 * one[name], rel=within)
    assert (two["pieces"], len(two["joints"])) == (one["pieces"], len(one["joints"]))
    for joint, larger in zip(one["joints"], two["joints"], strict=True):
        assert larger["area_mm2"] == pytest.approx(4 * joint["area_mm2"], rel=1e-3)
        assert larger["station_mm"] == pytest.approx(2 * joint["station_mm"], rel=1e-3, abs=1e-3)
    for place, farther in zip(small["limb_places"], large["limb_places"], strict=True):
        assert farther["along_mm"] == pytest.approx(2 * place["along_mm"], rel=1e-3, abs=1e-3)
    solids = [solid_of(request) for request in (once, twice)]
    assert solids[1].volume == pytest.approx(8 * solids[0].volume, rel=1e-3)
    assert np.array(solids[1].extent) == pytest.approx(2 * np.array(solids[0].extent), abs=4 * TOLERANCE)
    assert len(solids[1].parts) == len(solids[0].parts)


def in_inches(length: float) -> Any:
    """To the nearest sixty-fourth, as a maker writes it: "1-3/8 in"; what is negative or nothing has no such text."""
    parts = round(length / INCH)
    if parts <= 0:
        return parts * INCH
    whole, above = divmod(parts, SIXTY_FOURTHS)
    if not above:
        return f"{whole} in"
    share = Fraction(above, SIXTY_FOURTHS)
    return f"{f'{whole}-' if whole else ''}{share.numerator}/{share.denominator} in"


def in_millimetres(length: float) -> float:
    """The same length as a number of millimetres."""
    return float(round(length / INCH) * MM_PER_INCH / SIXTY_FOURTHS)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_a_bait_in_inches_is_the_bait_in_millimetres(example: Example) -> None:
    inches, millimetres = (of(example.body, unit) for unit in (in_inches, in_millimetres))
    assert inches.normal == millimetres.normal and inches.id == millimetres.id
    told = estimate(inches)["metrics"]["length_mm"]
    assert math.isclose(told, estimate(read_request(example.body))["metrics"]["length_mm"], abs_tol=4 * INCH)
