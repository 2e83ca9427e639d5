"""Stiffness from hardness against published values.

Gent, "On the relation between indentation hardness and Young's modulus", IRI Trans. 34 (1958) 46-57: its values are
arithmetic on the formula. Ruess' relation, log10 E = 0.0235 S - 0.6403 (josephborrello.com/shore-a-to-modulus), is
another, near it around Shore A 30. Shore 00: contact mechanics on the durometer's foot and spring (from memory).
"""

from __future__ import annotations

import math

import pytest

from worker.values.hardness import modulus_of
from worker.values.plastics import BUILT_IN
from worker.values.shore import shore_00_of


@pytest.mark.parametrize(
    ("shore", "modulus"), [(0, 0.1573), (10, 0.4127), (20, 0.7319), (30, 1.1424), (50, 2.4558), (80, 9.3514)]
)
def test_gent(shore: float, modulus: float) -> None:
    assert modulus_of("A", shore).typical == pytest.approx(modulus, abs=6e-5)


@pytest.mark.parametrize(("shore", "modulus"), [(20, 0.6756), (25, 0.8855), (30, 1.1606)])
def test_an_independent_relation_lies_within_the_band(shore: float, modulus: float) -> None:
    told = modulus_of("A", shore)
    assert math.pow(10, 0.0235 * shore - 0.6403) == pytest.approx(modulus, abs=6e-5)
    assert told.low < modulus < told.high


@pytest.mark.parametrize(("shore", "modulus"), [(0, 0.0259), (20, 0.0685), (50, 0.2367), (90, 4.11)])
def test_shore_00_and_where_it_meets_shore_a(shore: float, modulus: float) -> None:
    assert modulus_of("00", shore).typical == pytest.approx(modulus, rel=2e-3)
    # Shore 00 50, 60, 70 and 80 are Shore A 3.3, 8.7, 17.7 and 33.7 by the same contact.
    for soft, hard in ((50, 3.3), (60, 8.7), (70, 17.7), (80, 33.7)):
        assert modulus_of("00", soft).typical == pytest.approx(modulus_of("A", hard).typical, rel=0.03)


@pytest.mark.parametrize(
    ("grade", "modulus"), [("soft", (0.06, 0.10, 0.18)), ("medium", (0.12, 0.22, 0.35)), ("firm", (0.3, 0.45, 0.8))]
)
def test_a_grades_hardness_is_the_reading_whose_contact_gives_its_modulus(
    grade: str, modulus: tuple[float, ...]
) -> None:
    """By hand: F = 0.203 + 0.00908 S newtons press a ball of 1.19 mm 2.54 (1 - S/100) mm in (from memory)."""
    told = BUILT_IN[grade].hardness
    assert told.unit == "Shore 00" and "Hertz" in told.source and "judgement" in told.source
    for reading, meant in zip((told.low, told.typical, told.high), modulus, strict=True):
        assert reading == round(reading)
        below, above = (
            9 * (0.203 + 0.00908 * s) / (16 * math.sqrt(1.19) * (2.54 * (1 - s / 100)) ** 1.5)
            for s in (reading - 0.5, reading + 0.5)
        )
        assert below <= meant <= above


def test_a_reading_and_its_modulus_are_one_either_way() -> None:
    for reading in range(0, 99):
        assert shore_00_of(modulus_of("00", reading).typical) == pytest.approx(reading, abs=2e-3)
    assert (shore_00_of(0.001), shore_00_of(1e6)) == (0, 99)


def test_the_band_is_wider_where_a_durometer_says_little() -> None:
    sure, unsure = modulus_of("A", 25), modulus_of("A", 10)
    assert unsure.high / unsure.low > sure.high / sure.low
    assert "low confidence" in unsure.source and "low confidence" not in sure.source
    values = [modulus_of("00", shore).typical for shore in range(0, 91)]
    assert values == sorted(values)


@pytest.mark.parametrize(("shore", "modulus"), [(5, 0.0194), (10, 0.0778), (15, 0.1762)])
def test_the_band_of_a_soft_reading_reaches_down_to_the_other_published_relation(shore: float, modulus: float) -> None:
    """S = 100 erf(3.186e-4 sqrt(E in Pa)), which lies 2 to 14 times under Gent's there (from memory)."""
    assert modulus_of("A", shore).low == pytest.approx(modulus, rel=5e-3)
