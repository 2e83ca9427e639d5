"""`Parameter`: declared once in its style; validation, JSON Schema, documents and forms come from it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from worker.values.lengths import LONGEST_TEXT, SCHEMA_PATTERN, NotALength, parse_length, rounded_millimetres

Kind = Literal["length", "whole", "number", "choice"]
Value = float | int | str


class Unacceptable(ValueError):
    """A value that a parameter does not take. `code` is for programs, the message for people."""

    def __init__(self, code: str, detail: str) -> None:
        super().__init__(detail)
        self.code = code


@dataclass(frozen=True, slots=True)
class Parameter:
    """One number or choice of a request.

    `minimum`, `maximum` and `default` are in `unit` (mm for a length). `step` is the finest change that makes sense at
    the bench: a form moves by it and remedies are rounded to it. `figure` names the drawing that explains it.
    `rounded`: its bounds are a caller's, rounded as a request's lengths are ("5/32 in" to 3.9688 mm), so that a length
    in text is compared with them when it has been rounded too.
    """

    name: str
    kind: Kind
    title: str
    help: str
    default: Value
    minimum: float = 0.0
    maximum: float = math.inf
    step: float = 0.1
    unit: str = ""
    choices: tuple[str, ...] = field(default=())
    figure: str = ""
    rounded: bool = False

    def __post_init__(self) -> None:
        if self.kind != "choice" and not math.isfinite(self.minimum + self.maximum):
            raise ValueError(f"{self.name} has no range")

    def parse(self, value: object) -> Value:
        """The value in normal form. Raises Unacceptable with what is allowed."""
        if self.kind == "choice":
            if not isinstance(value, str) or value not in self.choices:
                raise Unacceptable("not-a-choice", f"{self.name} is {self.range_text()}")
            return value
        return self._length(value) if self.kind == "length" else self._number(value)

    def _out_of_range(self, value: object) -> Unacceptable:
        return Unacceptable("out-of-range", f"{self.name} is {self.range_text()}; {_short(value)} is outside")

    def _length_outside(self, value: object, millimetres: float) -> Unacceptable:
        """In millimetres too where it was written otherwise: 45 cm sent for 45 mm is seen at once."""
        if not isinstance(value, str) or value.rstrip(" .").endswith("mm"):
            return self._out_of_range(value)
        told = f"{_short(value)}, which is {plain(six_digits(millimetres))} mm,"
        return Unacceptable("out-of-range", f"{self.name} is {self.range_text()}; {told} is outside")

    def _length(self, value: object) -> float:
        try:
            exact = parse_length(value)
        except NotALength as error:
            raise Unacceptable("not-a-length", f"{self.name}: {error}") from None
        normal = rounded_millimetres(exact)
        # Compared before rounding, so that a value outside never rounds into the range.
        compared = Fraction(Decimal(repr(normal))) if self.rounded and isinstance(value, str) else exact
        if not Fraction(Decimal(repr(self.minimum))) <= compared <= Fraction(Decimal(repr(self.maximum))):
            raise self._length_outside(value, normal)
        return normal

    def _number(self, value: object) -> float | int:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise Unacceptable("not-a-number", f"{self.name} is a number, {self.range_text()}")
        if self.kind == "whole":
            # 16.0 is a whole number in JSON Schema 2020-12 (validation, 6.1.1), so it is one here.
            if value != int(value):
                raise Unacceptable("not-whole", f"{self.name} is a whole number, {self.range_text()}")
            value = int(value)
        if not self.minimum <= value <= self.maximum:
            raise self._out_of_range(value)
        return value if self.kind == "whole" else six_digits(float(value))

    def range_text(self) -> str:
        """The range in words: "from 4 to 20 mm"; of a choice "one of round, flat"."""
        if self.kind == "choice":
            return f"one of {', '.join(self.choices)}"
        unit = f" {self.unit}" if self.unit else ""
        return f"from {plain(self.minimum)} to {plain(self.maximum)}{unit}"

    def allowed(self) -> dict[str, object]:
        """What a caller may send, for a fault's `allowed`."""
        if self.kind == "choice":
            return {"choices": list(self.choices)}
        described: dict[str, object] = {"minimum": self.minimum, "maximum": self.maximum}
        if self.unit:
            described["unit"] = self.unit
        if self.kind == "whole":
            described["whole"] = True
        return described

    def json_schema(self) -> dict[str, object]:
        """JSON Schema 2020-12. A length may be text too, whose range a schema cannot say: `x-` members carry it."""
        head: dict[str, object] = {"title": self.title, "description": self.help, "default": self.default}
        if self.kind == "choice":
            return {**head, "type": "string", "enum": list(self.choices)}
        limits: dict[str, object] = {"minimum": self.minimum, "maximum": self.maximum}
        notes: dict[str, object] = {"x-step": self.step}
        if self.unit:
            notes["x-unit"] = self.unit
        if self.figure:
            notes["x-figure"] = self.figure
        if self.kind == "length":
            return {
                **head,
                "anyOf": [
                    {"type": "number", **limits},
                    {"type": "string", "maxLength": LONGEST_TEXT, "pattern": SCHEMA_PATTERN},
                ],
                **notes,
            }
        return {**head, "type": "integer" if self.kind == "whole" else "number", **limits, **notes}


def six_digits(value: float) -> float:
    """A figure at 6 significant digits, -0 as 0: what identity, build and answers use for all but lengths."""
    return float(f"{value:.6g}") + 0.0


def plain(value: float) -> str:
    """A number as people write it: 2592000 and not 2.592e+06."""
    return f"{value:.0f}" if value == int(value) and abs(value) < 1e15 else f"{value:g}"


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 48 else text[:45] + "..."
