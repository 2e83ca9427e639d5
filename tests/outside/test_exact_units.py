"""Lengths against NIST SP 811 (2008), appendices B.8 and B.9: 1 in = 25.4 mm exactly; the rest follow from it.

The yard is 0.9144 m, the foot a third of it, the mil a thousandth of an inch (NIST Handbook 44, appendix C, section 4).
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from worker.request import read_request
from worker.values.lengths import millimetres_per, parse_length, rounded_millimetres


@pytest.mark.parametrize(
    ("unit", "millimetres"),
    [
        ("in", Fraction(254, 10)),
        ("inch", Fraction(254, 10)),
        ("inches", Fraction(254, 10)),
        ("IN", Fraction(254, 10)),
        ('"', Fraction(254, 10)),
        ("\u2033", Fraction(254, 10)),
        ("'", Fraction(3048, 10)),
        ("ft", Fraction(3048, 10)),
        ("yd", Fraction(9144, 10)),
        ("thou", Fraction(254, 10_000)),
        ("mm", Fraction(1)),
        ("cm", Fraction(10)),
        ("m", Fraction(1000)),
        ("micron", Fraction(1, 1000)),
        ("\u00b5m", Fraction(1, 1000)),
        ("\u03bcm", Fraction(1, 1000)),
    ],
)
def test_a_unit_is_exact(unit: str, millimetres: Fraction) -> None:
    assert millimetres_per(unit) == millimetres


# Makers' fractions of an inch in sixteenths and sixty-fourths, times 25.4 by hand.
@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("4-3/4 in", "120.65"),
        ("4 3/4 in", "120.65"),
        ("4-1/2 in", "114.3"),
        ("3-1/4 in", "82.55"),
        ("5 in", "127"),
        ('5"', "127"),
        ("5''", "127"),
        ("7/16 in", "11.1125"),
        ("11/64 inch", "4.365625"),
        ("0.5 in", "12.7"),
        (".5in", "12.7"),
        ("8.5 mm", "8.5"),
        ("12.7 cm", "127"),
        ("1/3 ft", "101.6"),
    ],
)
def test_a_text_is_exact(text: str, millimetres: str) -> None:
    assert parse_length(text) == Fraction(millimetres)


@pytest.mark.parametrize("written", ["4-3/4 in", 120.65, "120.65 mm", '4.75"', "12.065 cm", "4 3/4in", "0.12065 m"])
def test_one_length_written_in_many_ways_is_one_bait(written: object) -> None:
    asked = read_request({"style": "beaded_worm", "params": {"length": written}})
    assert asked.params["length"] == 120.65
    assert asked.id == read_request({"style": "beaded_worm", "params": {"length": 120.65}}).id


# Half to even at 0.0001 mm, as IEEE 754 rounds.
@pytest.mark.parametrize(
    ("exact", "rounded"),
    [("8.00005", 8.0), ("8.00015", 8.0002), ("8.00025", 8.0002), ("8.0000500001", 8.0001), ("4.365625", 4.3656)],
)
def test_lengths_round_half_to_even(exact: str, rounded: float) -> None:
    assert rounded_millimetres(Fraction(exact)) == rounded
