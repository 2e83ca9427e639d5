"""Colours: CSS Color 4 texts become `#rrggbb`, and nothing else does. Values: CSS Color 4, named colours table."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from worker.values.colours import NotAColour, parse_colour


@pytest.mark.parametrize(("text", "hexadecimal"), [
    ("olive", "#808000"), ("OliveDrab", "#6b8e23"), (" red ", "#ff0000"), ("#6b8e23", "#6b8e23"), ("#ABC", "#aabbcc"),
    ("#abcf", "#aabbcc"), ("#aabbccff", "#aabbcc"), ("rgb(107 142 35)", "#6b8e23"), ("rgb(107, 142, 35)", "#6b8e23"),
    ("rgb(100% 0% 0%)", "#ff0000"), ("hsl(120 100% 25%)", "#008000"), ("hwb(0 0% 0%)", "#ff0000"),
    ("rgb(255 0 0 / 1)", "#ff0000"), ("rgb(255 0 0 / 100%)", "#ff0000"), ("lab(0% 0 0)", "#000000"),
    ("rebeccapurple", "#663399"), ("rgb(none 0 0)", "#000000"),
])  # fmt: skip
def test_what_is_a_colour(text: str, hexadecimal: str) -> None:
    assert parse_colour(text) == hexadecimal


@pytest.mark.parametrize("text", [
    "", " ", "redd", "#12345", "#1234567", "#ggg", "red;", "red\x00", "rgb()", "rgb(1 2)", "url(x)", "var(--x)",
    "currentcolor", "transparent", "rgb(0 0 0 / 0.5)", "#fff0", "#ffffff00", "color-mix(in srgb, red, blue)",
    "\u7ea2", "red blue", "a" * 100, "rgb(calc(1) 0 0)", "light-dark(red, blue)",
])  # fmt: skip
def test_what_is_none(text: str) -> None:
    with pytest.raises(NotAColour):
        parse_colour(text)


@pytest.mark.parametrize("value", [None, 5, True, [], {}, b"red"])
def test_what_is_no_text(value: object) -> None:
    with pytest.raises(NotAColour):
        parse_colour(value)


def test_out_of_gamut_is_drawn_in() -> None:
    assert parse_colour("color(display-p3 0 1 0)").startswith("#0")
    assert parse_colour("oklch(70% 0.4 150)") != parse_colour("oklch(70% 0.4 250)")


NUMBERS = [
    "0", "1", "none", "50%", "-9", "999", "1e9", "1e308", "-1e308", "1e999", "nan", ".5", "360deg",
]  # fmt: skip
FUNCTIONS = [
    "rgb", "hsl", "hwb", "lab", "lch", "oklab", "oklch", "color(srgb", "color(xyz", "color(--hsv",
]  # fmt: skip


@settings(max_examples=500, derandomize=True, database=None, deadline=None)
@given(st.builds(
    lambda name, numbers, alpha: (
        f"{name}{' ' if '(' in name else '('}{' '.join(numbers)}{' / ' + alpha if alpha else ''})"
    ),
    st.sampled_from(FUNCTIONS), st.lists(st.sampled_from(NUMBERS), min_size=2, max_size=4),
    st.none() | st.sampled_from(NUMBERS),
) | st.text(max_size=20))  # fmt: skip
def test_any_text_is_six_digits_or_no_colour(text: str) -> None:
    try:
        colour = parse_colour(text)
    except NotAColour as error:
        assert str(error)
    else:
        assert re.fullmatch("#[0-9a-f]{6}", colour)
