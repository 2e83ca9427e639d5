"""Test pieces there and back: pieces made up by formulas and an integrator from outside give their plastic back."""

from __future__ import annotations

import math
from statistics import mean, stdev
from typing import Any

import numpy as np
import pytest
from scipy.stats import t as student

from tests.outside.elastica import drop_of_rod, overhang_of_rod
from worker.errors import InvalidRequest
from worker.measures.trial.measured import measured
from worker.measures.trial.spread import FEW, FLOOR, READING, scatter_of
from worker.values.own_plastics import nearest_grade
from worker.values.plastics import BUILT_IN, Range

RODS = [(6.0, 0.05, 0.97), (8.0, 0.1, 1.0), (8.0, 0.45, 1.05), (10.0, 0.22, 1.02), (12.0, 2.0, 1.1)]
"""Diameter in mm, modulus in MPa, density in g/cm3."""


def known(density: float) -> Range:
    """A density without doubt, g/cm3."""
    return Range(density, density, density, "g/cm3", "made up")


@pytest.mark.parametrize(("diameter", "modulus", "density"), RODS)
def test_an_overhang_gives_the_modulus_back(diameter: float, modulus: float, density: float) -> None:
    """Peirce 1930: c = L / 2 at 41.5 degrees and E I = w c^3; ISO 9073-7 and ASTM D1388 use the angle."""
    overhang = overhang_of_rod(diameter, modulus, density)
    found = measured([{"kind": "overhang", "diameter": diameter, "overhang": overhang}], known(density), "made up")
    assert found["modulus"].range.typical == pytest.approx(modulus, rel=0.01)


@pytest.mark.parametrize("reach", [0.6, 1.0, 1.6, 2.2, 2.7])
@pytest.mark.parametrize(("diameter", "modulus", "density"), RODS)
def test_a_droop_gives_the_modulus_back(diameter: float, modulus: float, density: float, reach: float) -> None:
    """The elastica, from a fall of 3 % of the length to one of 80 %."""
    length = reach * math.cbrt(modulus * diameter**2 / (16 * density * 9.80665e-6))
    drop = drop_of_rod(diameter, modulus, density, length)
    piece = {"kind": "droop", "diameter": diameter, "length": length, "drop": drop}
    assert 0.02 < drop / length < 0.85
    assert measured([piece], known(density), "made up")["modulus"].range.typical == pytest.approx(modulus, rel=0.01)


def test_a_small_droop_is_the_handbooks() -> None:
    """Roark's Formulas for Stress and Strain, table 8.1: w L^4 / 8 EI at the tip of an even cantilever."""
    diameter, modulus, density, length = 8.0, 10.0, 1.0, 100.0
    weight, moment = density * 9.80665e-6 * math.pi * diameter**2 / 4, math.pi * diameter**4 / 64
    drop = weight * length**4 / (8 * modulus * moment)
    found = measured([{"kind": "droop", "diameter": 8.0, "length": 100.0, "drop": drop}], known(density), "made up")
    assert drop / length < 0.05 and found["modulus"].range.typical == pytest.approx(modulus, rel=0.005)


def test_strength_density_and_shrinkage_come_back() -> None:
    """Force over unstretched area (ISO 37 and ASTM D412 reckon so), mass over volume, length lost over the mould's."""
    pieces: list[dict[str, Any]] = [
        {"kind": "pull", "gauge_width": 6.0, "gauge_thickness": 4.0, "break_force_n": 1.7 * 24},
        {"kind": "pull", "gauge_diameter": 5.0, "break_force_n": 1.7 * math.pi * 25 / 4},
        {"kind": "density", "mass_g": 1.03 * 12.5, "volume_ml": 12.5},
        {"kind": "shrinkage", "mould_length": 120.0, "cooled_length": 120.0 * (1 - 0.018)},
    ]
    found = measured(pieces, known(1.0), "made up")
    typical = {name: each.range.typical for name, each in found.items()}
    assert typical == pytest.approx({"density": 1.03, "strength": 1.7, "shrinkage": 1.8}, rel=1e-5)
    assert found["strength"].range.source == "2 pieces pulled apart; made up"


def test_a_weighed_piece_tells_how_heavy_the_rods_are() -> None:
    rod = {"kind": "overhang", "diameter": 8.0, "overhang": overhang_of_rod(8.0, 0.2, 1.3)}
    found = measured([rod, {"kind": "density", "mass_g": 13.0, "volume_ml": 10.0}], known(1.0), "made up")
    assert found["modulus"].range.typical == pytest.approx(0.2, rel=0.01)
    assert "at 1.3 g/cm3" in found["modulus"].range.source


def test_a_density_that_nobody_weighed_widens_the_stiffness() -> None:
    """E is in proportion to the weight: 4 % less and 5 % more of the one are as much of the other."""
    rods = [{"kind": "overhang", "diameter": 8.0, "overhang": length} for length in (60.0, 61.0, 62.0)]
    sure = measured(rods, known(1.0), "made up")["modulus"]
    unsure = measured(rods, Range(0.96, 1.0, 1.05, "g/cm3", "judgement"), "made up")["modulus"]
    assert unsure.range.typical == sure.range.typical
    assert unsure.range.low == pytest.approx(0.96 * sure.range.low, rel=1e-5)
    assert unsure.range.high == pytest.approx(1.05 * sure.range.high, rel=1e-5)
    assert "density" in unsure.scatter.words


# By degrees of freedom at 95 %, as printed tables have it (Pearson and Hartley, Biometrika Tables, table 12).
TABLE = {2: 2.920, 3: 2.353, 4: 2.132, 5: 2.015, 9: 1.833}


@pytest.mark.parametrize("freedom", TABLE)
def test_three_and_more_pieces_are_spread_by_students_t(freedom: int) -> None:
    count = freedom + 1
    values = [1.6 + 0.2 * math.sin(2.0 * place) for place in range(count)]
    scatter = scatter_of("strength", values)
    reach = stdev(values) * math.sqrt(1 + 1 / count)
    assert (scatter.high - scatter.mean) / reach == pytest.approx(TABLE[freedom], abs=5e-4)
    low, high = student.interval(0.9, freedom, loc=mean(values), scale=reach)
    assert (scatter.low, scatter.mean, scatter.high) == pytest.approx((low, mean(values), high), rel=1e-9)


def test_nine_in_ten_further_pieces_lie_between() -> None:
    """By trial: ranges of four pieces each out of a normal plastic, and one piece more."""
    numbers = np.random.default_rng(7).normal(2.0, 0.1, size=(4000, 5))
    between = 0
    for *four, further in numbers.tolist():
        scatter = scatter_of("strength", four)
        between += scatter.low <= further <= scatter.high
    assert between / 4000 == pytest.approx(0.9, abs=0.015)


def test_few_pieces_are_widened_and_ranges_stay_above_nothing() -> None:
    one, two = scatter_of("strength", [2.0]), scatter_of("strength", [2.0, 3.0])
    share = FEW["strength"]
    assert (one.low, one.mean, one.high) == pytest.approx((2 * (1 - share), 2.0, 2 * (1 + share)))
    assert (two.low, two.mean, two.high) == pytest.approx((2 * (1 - share), 2.5, 3 * (1 + share)))
    wild = scatter_of("strength", [0.5, 2.0, 6.0])
    assert wild.low == FLOOR * 0.5
    alike = scatter_of("strength", [2.0, 2.0, 2.0])
    assert alike.high - alike.mean == pytest.approx(READING * share * 2.0)


@pytest.mark.parametrize("count", [1, 2, 3, 6])
def test_a_length_that_did_not_change_is_no_certain_shrinkage(count: int) -> None:
    """A ruler tells a third of a millimetre: on a bait of 100 mm that is 0.3 %. Common practice, no source."""
    none = scatter_of("shrinkage", [0.0] * count)
    assert (none.low, none.mean, none.high) == (0.0, 0.0, 0.3)
    assert "judgement" in none.words


def test_a_density_alone_tells_nothing_of_how_soft_a_plastic_is() -> None:
    heavy = {"density": {"typical": 2.6}, "shrinkage": {"typical": 4.0}}
    firm = BUILT_IN["firm"]
    assert nearest_grade(heavy) == "soft"
    assert nearest_grade(heavy | {"modulus": {"typical": firm.modulus.typical}}) == "firm"


def test_a_slip_of_a_digit_is_told_at_its_piece() -> None:
    rods = [{"kind": "overhang", "diameter": 8.0, "overhang": length} for length in (60.0, 900.0)]
    with pytest.raises(InvalidRequest) as refused:
        measured(rods, known(1.0), "made up")
    (fault,) = refused.value.faults
    assert fault.pointer == "/measurements/1" and fault.allowed == {"minimum": 0.002, "maximum": 50.0, "unit": "MPa"}
