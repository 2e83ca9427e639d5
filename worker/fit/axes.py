"""What a fit may change: every number and choice of a style, and of the plastic; each with the way to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from worker.request.plastic import GRADE, HARDENER, SALT, SOFTENER
from worker.styles.style import Style
from worker.values.parameter import Parameter, Value
from worker.values.rows import Rows

MOST_FREE = 8
"""Numbers and choices that one fit may leave free: each multiplies what there is to look through (judgement)."""
PLASTIC = {parameter.name: parameter for parameter in (GRADE, SALT, SOFTENER, HARDENER)}
"""What may be free of the plastic."""
MOST_LISTED = 2000
"""Values of a number in steps that are written out one by one; with more of them it is searched as a fine one is."""

Values = tuple[Value, ...]
"""One value an axis."""


def free_parameters(style: Style) -> dict[str, Parameter]:
    """By the name in `free`: a style's parameters and what may be of the plastic. No style has these names."""
    own = {each.name: each for each in style.free if not isinstance(each, Rows)}
    return {**own, **PLASTIC}


def section_of(name: str) -> str:
    """The member of a bait's request that something free stands in."""
    return "plastic" if name in PLASTIC else "params"


def patch_of(values: Mapping[str, Value]) -> dict[str, Any]:
    """The RFC 7396 merge patch on a bait's request that puts free values, by their names in `free`, into it."""
    patch: dict[str, Any] = {}
    for name, value in values.items():
        patch.setdefault(section_of(name), {})[name] = value
    return patch


@dataclass(frozen=True)
class Axis:
    """One free number or choice, from a fit's normal form. `step` is 0 where it is as fine as a request can tell it."""

    name: str
    parameter: Parameter
    minimum: float = 0.0
    maximum: float = 0.0
    step: float = 0.0
    choices: tuple[str, ...] = ()

    @classmethod
    def of(cls, name: str, parameter: Parameter, told: Mapping[str, Any]) -> Axis:
        """From what a fit's normal form says of it."""
        if "choices" in told:
            return cls(name, parameter, choices=tuple(told["choices"]))
        return cls(name, parameter, float(told["minimum"]), float(told["maximum"]), float(told.get("step", 0.0)))

    @property
    def counted(self) -> bool:
        """Whether it is a number of things: one more or less is a long step."""
        return self.parameter.kind == "whole"

    @property
    def grain(self) -> float:
        """The finest change: the step asked for, else what a request can tell apart."""
        if self.step:
            return self.step
        return 0.0001

    @property
    def steps(self) -> int:
        """Whole steps from one end of the range towards the other, of a number that goes in steps."""
        return int((self.maximum - self.minimum) / self.step + 1e-9)

    @property
    def listed(self) -> tuple[Value, ...]:
        """Every value, of a choice, a whole number, or one that goes in steps that are not too many; else none."""
        if self.choices:
            return self.choices
        if not self.step or self.steps > MOST_LISTED:
            return ()
        return tuple(self.at(self.minimum + place * self.step) for place in range(self.steps + 1))

    def at(self, value: float) -> Value:
        """A number as a request tells it: on a step, inside of the range."""
        places = round((value - self.minimum) / self.grain)
        if self.step:  # a range need not end on a step
            places = min(places, self.steps)
        exact = min(max(self.minimum + places * self.grain, self.minimum), self.maximum)
        if self.parameter.kind == "whole":
            return round(exact)
        return round(exact, 4) + 0.0 if self.parameter.kind == "length" else float(f"{exact:.6g}") + 0.0
