"""Places along a strand: a bare number is a fraction from root to tip, text is a length from the root."""

from __future__ import annotations

from worker.values.lengths import LONGEST_TEXT, SCHEMA_PATTERN, NotALength, parse_length, rounded_millimetres
from worker.values.parameter import Unacceptable, six_digits

Station = float | str

FURTHEST_MM = 600.0
"""No strand is longer (judgement)."""
WRITTEN = f"a fraction from 0 (root) to 1 (tip), or a length from the root as text ('12 mm'), up to {FURTHEST_MM:g} mm"
ALLOWED = {"minimum": 0, "maximum": 1, "or": f"a length as text, up to {FURTHEST_MM:g} mm"}
JSON_SCHEMA = {
    "anyOf": [
        {"type": "number", "minimum": 0, "maximum": 1},
        {"type": "string", "maxLength": LONGEST_TEXT, "pattern": SCHEMA_PATTERN},
    ],
}


def parse_station(value: object) -> Station:
    """In normal form: a fraction at 6 digits, or a length as text in mm. Raises Unacceptable."""
    if isinstance(value, str):
        try:
            exact = parse_length(value)
        except NotALength as error:
            raise Unacceptable("not-a-station", str(error)) from None
        if exact > FURTHEST_MM:
            raise Unacceptable("out-of-range", f"a place along a strand is {WRITTEN}")
        return in_text(rounded_millimetres(exact))
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise Unacceptable("not-a-station", f"a place along a strand is {WRITTEN}")
    if not 0 <= value <= 1:
        raise Unacceptable("out-of-range", f"a place along a strand is {WRITTEN}")
    return six_digits(float(value))


def in_text(millimetres: float) -> str:
    """A length of at most 4 decimals as the text that means it."""
    return f"{millimetres:.4f}".rstrip("0").rstrip(".") + " mm"


def along(station: Station, length: float) -> float:
    """Millimetres from the root of a path of `length` mm; a length in text may lie past its tip."""
    if isinstance(station, str):
        return float(station.removesuffix(" mm"))
    return station * length
