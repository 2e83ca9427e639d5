"""Colours as CSS Color 4 writes them, by a general colour library; kept as 8-bit sRGB."""

from __future__ import annotations

from functools import lru_cache

from coloraide import Color

LONGEST_TEXT = 80


class NotAColour(ValueError):
    """Text that CSS Color 4 does not know as an absolute colour."""


def parse_colour(value: object) -> str:
    """`#rrggbb` of a CSS Color 4 text, drawn into the sRGB gamut. Raises NotAColour; transparency is refused."""
    if not isinstance(value, str) or len(value) > LONGEST_TEXT:
        raise NotAColour("a colour is a CSS Color 4 text such as 'olive', '#6b8e23' or 'hsl(80 60% 35%)'")
    return _parsed(value)


@lru_cache(maxsize=512)
def _parsed(text: str) -> str:
    try:
        colour = Color(text.strip().lower())
        clear = colour.alpha() < 1
        written = colour.convert("srgb").fit("srgb").to_string(hex=True, compress=False, alpha=False)
    except (ValueError, TypeError, ArithmeticError):
        # Also what the library takes for a colour and cannot convert: lab(0 1e308 0).
        raise NotAColour(f"{text!r} is not a colour of CSS Color 4") from None
    if clear:
        raise NotAColour("the colour of a plastic has no transparency here")
    return str(written)
