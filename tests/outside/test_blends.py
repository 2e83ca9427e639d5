"""Softener, hardener and warmth: the one measurement there is, mixture density, and ranges that only widen."""

from __future__ import annotations

from typing import Any

import pytest

from worker.estimate import estimate
from worker.request import read_request
from worker.values.blends import poured
from worker.values.plastics import BUILT_IN, Plastic, Range

FIGURES = ("density", "modulus", "strength", "tear_energy")


def plastic(**asked: Any) -> Plastic:
    return poured(read_request({"style": "beaded_worm", "plastic": asked}).normal["plastic"])


def _width(of: Range) -> float:
    return of.high / of.low


@pytest.mark.parametrize("grade", list(BUILT_IN))
def test_the_defaults_change_no_figure(grade: str) -> None:
    assert plastic(grade=grade) == BUILT_IN[grade]


def test_the_measured_gel_lies_at_the_low_end() -> None:
    """212 kPa at 20 degrees, 8.7 kPa at 45 (3 rho c^2 of 8.4 and 1.7 m/s)."""
    warm, usual = plastic(temperature_c=45).modulus, plastic().modulus
    assert warm.low / usual.low == pytest.approx(8.7 / 212, rel=1e-9)
    assert warm.low / usual.low < warm.typical / usual.typical < warm.high / usual.high < 1


def test_softener_thins_by_mass_fractions() -> None:
    # 0.8 / 1.00 + 0.2 / 0.985 = 1.003046
    assert plastic(softener_pct=20).density.typical == pytest.approx(1 / 1.003046, rel=1e-6)


@pytest.mark.parametrize(
    ("asked", "way"),
    [
        ({"softener_pct": 10}, -1),
        ({"hardener_pct": 10}, 1),
        ({"temperature_c": 30}, -1),
        ({"temperature_c": 5}, 1),
    ],
)
def test_each_moves_stiffness_and_strength_its_way_and_widens_them(asked: dict[str, Any], way: int) -> None:
    usual, moved = plastic(salt_wt_pct=10), plastic(salt_wt_pct=10, **asked)
    for name in ("modulus", "strength"):
        before, after = getattr(usual, name), getattr(moved, name)
        assert (after.typical - before.typical) * way > 0
        assert _width(after) > _width(before)
    for name in FIGURES:
        of = getattr(moved, name)
        assert 0 < of.low <= of.typical <= of.high


def test_an_estimate_says_that_it_is_judgement() -> None:
    told = estimate(read_request({"style": "beaded_worm", "plastic": {"temperature_c": 32}}))["metrics"]["judgement"]
    assert "32 °C" in told[0] and any("softener" in one for one in told)
    usual = estimate(read_request({"style": "beaded_worm"}))["metrics"]["judgement"]
    assert "20 °C" in usual[0] and not any("softener" in one for one in usual)
