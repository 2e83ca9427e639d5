"""Lengths as makers write them: a number in millimetres, or text with a unit, makers' fractions included.

Units and their factors come from a general unit library; 1 in = 25.4 mm exactly (NIST SP 811, appendix B). A text is
one number and one unit: nothing is ever evaluated.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pint

LONGEST_TEXT = 40
WRITTEN = "a number in mm, or text such as '5 in', '3-1/4 in', '127 mm' or '5\"'"

_MAKERS_MARKS = {'"': "inch", "\u2033": "inch", "\u201d": "inch", "''": "inch", "'": "foot", "\u2032": "foot"}
_GRAMMAR = r"""\s*(?:
            (?P<whole>[0-9]{1,6})(?:\s*-\s*|\s+)(?P<top>[0-9]{1,4})\s*/\s*(?P<bottom>[0-9]{1,4})
          | (?P<only_top>[0-9]{1,6})\s*/\s*(?P<only_bottom>[0-9]{1,4})
          | (?P<decimal>[0-9]{1,9}(?:\.[0-9]{1,12})?|\.[0-9]{1,12})
        )\s*-?\s*
        (?P<unit>[A-Za-z\u00b5\u03bc]{1,20}|["'\u2032\u2033\u201d]{1,2})\.?\s*"""
_TEXT = re.compile(_GRAMMAR, re.VERBOSE)
# The same grammar for a JSON Schema, whose expressions (ECMA-262) have no such named groups and no free spacing.
SCHEMA_PATTERN = "^" + re.sub(r"\?P<\w+>|\s+", "", _GRAMMAR) + "$"


class NotALength(ValueError):
    """Text that is not a length; the message says what is wrong with it."""


@cache
def _registry() -> pint.UnitRegistry[Fraction]:
    return pint.UnitRegistry(non_int_type=Fraction)


@cache
def millimetres_per(unit: str) -> Fraction:
    """Exact millimetres in one `unit` ("in", "cm", "foot", '"'). Raises NotALength for what is no unit of length."""
    registry = _registry()
    name = _MAKERS_MARKS.get(unit, unit)
    for candidate in (name, name.lower()) if name.isalpha() else ():
        try:
            quantity = registry.Quantity(Fraction(1), candidate)
            if quantity.check("[length]"):
                return Fraction(quantity.to("millimeter").magnitude)
        except (pint.errors.PintError, AttributeError, ValueError):
            # No unit: the library says so in several ways ("nan" is a number to it).
            continue
    raise NotALength(f"{unit!r} is not a unit of length")


def parse_length(value: object) -> Fraction:
    """Exact millimetres of a number or a text. Raises NotALength."""
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise NotALength(f"a length is {WRITTEN}")
    if not isinstance(value, str):
        # The shortest text of a float is what the caller wrote; its binary value is not.
        return Fraction(Decimal(repr(value)))
    if len(value) > LONGEST_TEXT:
        raise NotALength(f"a length has at most {LONGEST_TEXT} characters")
    found = _TEXT.fullmatch(value)
    if found is None:
        raise NotALength(f"{value!r} is not a length; write {WRITTEN}")
    return _number(found) * millimetres_per(found["unit"])


def _number(found: re.Match[str]) -> Fraction:
    if found["decimal"] is not None:
        return Fraction(found["decimal"])
    top = int(found["top"] or found["only_top"])
    bottom = int(found["bottom"] or found["only_bottom"])
    if bottom == 0:
        raise NotALength("a fraction cannot have 0 below its line")
    return int(found["whole"] or 0) + Fraction(top, bottom)


def rounded_millimetres(exact: Fraction) -> float:
    """Half-even to 0.0001 mm: the value that identity and build use. -0 becomes 0."""
    return float(Fraction(round(exact * 10_000), 10_000)) + 0.0
