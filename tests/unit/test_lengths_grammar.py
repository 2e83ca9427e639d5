"""Which texts are lengths: one number and one unit, nothing evaluated; no text raises anything but NotALength."""

from __future__ import annotations

import contextlib
import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from worker.values.lengths import LONGEST_TEXT, SCHEMA_PATTERN, NotALength, millimetres_per, parse_length


@pytest.mark.parametrize("text", [
    "9**9 in", "5", "1e3 mm", "\u221e mm", "", " ", "in", "mm", "five in", "5 in in", "5 6 in", "5,5 in", "1,000 mm",
    "-5 in", "+5 in", "5 - in 3", "3-1/4", "3--1/4 in", "3-1/4/2 in", "1/0 in", "3-1/0 in", "0/0 in", "5 x 2 in",
    "(5) in", "5*2 in", "5+2 in", "5 in**2", "5 in^2", "5 in/s", "5 in per s", "5in2", "5 _in", "__import__('os') in",
    "0x10 in", "5 in; 6 in", "5 in\x00", "5 \ud800", "\u0665 in", "\uff15 in", "\u00bd in", "5. in", ". in", "5 ' 3 \"",
    "5 kg", "5 s", "5 degC", "5 dB", "5 zork", "5 in in", "5 square_inch", "5 in" + " " * LONGEST_TEXT,
    "9" * 50 + " mm",
    "9" * 10 + " mm", "0." + "1" * 13 + " mm", "5 " + "m" * 21, "5 pi", "5 inf", "5 nan", "5 NaN",
    "NaN mm", "nan", "inf mm", "-1/2 in",
])  # fmt: skip
def test_what_is_no_length(text: str) -> None:
    with pytest.raises(NotALength):
        parse_length(text)


@pytest.mark.parametrize("value", [True, False, None, [], {}, [5], b"5 in", object()])
def test_what_is_neither_number_nor_text(value: object) -> None:
    with pytest.raises(NotALength):
        parse_length(value)


@pytest.mark.parametrize(("text", "millimetres"), [
    ("5 in", "127"), ("5in", "127"), ("5-in", "127"), ("5 in.", "127"), (" 5  in ", "127"), ("05 in", "127"),
    ("5.0 in", "127"), ("3-1/4 in", "82.55"), ("3 1/4 in", "82.55"), ("3 - 1/4 in", "82.55"), ("1/4in", "6.35"),
    ("5 Inch", "127"), ("5 INCHES", "127"), ("5 MM", "5"), ("127.5mm", "127.5"), ("0 mm", "0"), ("5\u00a0in", "127"),
    ("999999999 mm", "999999999"), ("0.000000000001 mm", "0.000000000001"),
])  # fmt: skip
def test_what_is_one(text: str, millimetres: str) -> None:
    assert parse_length(text) == Fraction(millimetres)


@pytest.mark.parametrize("number", [5, 5.5, 0.1, -3, 1e-9, 8.2])
def test_a_number_is_what_the_caller_wrote(number: float) -> None:
    assert parse_length(number) == Fraction(repr(number))


@settings(max_examples=400, derandomize=True, database=None, deadline=None)
@given(st.text(alphabet="0123456789/.- in\"'\u2033mftkNaye*", max_size=14) | st.text(max_size=12))
def test_any_text_is_a_length_or_says_why_not(text: str) -> None:
    try:
        assert parse_length(text) >= 0
    except NotALength as error:
        assert str(error)
        # The expression in the JSON Schema is the same grammar; only units are checked beyond it.
        if len(text) <= LONGEST_TEXT and "unit of length" not in str(error) and "below its line" not in str(error):
            assert re.fullmatch(SCHEMA_PATTERN, text) is None
    else:
        assert re.fullmatch(SCHEMA_PATTERN, text) is not None


@settings(max_examples=300, derandomize=True, database=None, deadline=None)
@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ\u00b5\u03bc", min_size=1, max_size=6))
def test_any_unit_is_a_length_or_is_not(unit: str) -> None:
    with contextlib.suppress(NotALength):
        assert millimetres_per(unit) > 0
