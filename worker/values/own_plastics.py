"""A plastic of a caller's own: a built-in grade with measured figures in place of its own."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from worker.values.parameter import Parameter
from worker.values.plastics import BUILT_IN, Plastic, Range


def _figure(name: str, title: str, unit: str, minimum: float, maximum: float) -> Parameter:
    middle = BUILT_IN["soft"].describe()[name]
    default = float(middle["typical"])  # type: ignore[index]
    text = f"{title}, low, typical or high."
    return Parameter(name, "number", title, text, default=default, minimum=minimum, maximum=maximum, unit=unit)


FIGURES: dict[str, Parameter] = {
    each.name: each
    for each in (
        _figure("density", "Density", "g/cm3", 0.5, 3.0),
        _figure("modulus", "Young's modulus", "MPa", 0.002, 50.0),
        _figure("strength", "Nominal strength", "MPa", 0.02, 60.0),
        _figure("tear_energy", "Tear energy", "J/m2", 5.0, 50000.0),
        _figure("shrinkage", "Shrinkage", "%", 0.0, 10.0),
    )
}
"""What a caller may have measured, with the range in which it is taken."""


OF_A_GRADE = ("modulus", "strength", "tear_energy")
"""The figures by which grades differ."""


def nearest_grade(properties: Mapping[str, Any]) -> str:
    """The built-in grade whose figures come nearest to the given ones: what stands where a caller names none.

    By ratio: the least sum of squared logarithms of typical value over the grade's; of grades as near, the softest.
    Density and shrinkage say nothing of how soft a plastic is: one with no other figures is taken to be the softest.
    """
    given = {name: properties[name]["typical"] for name in OF_A_GRADE if name in properties}

    def apart(grade: Plastic) -> float:
        return sum(math.log(value / getattr(grade, name).typical) ** 2 for name, value in given.items())

    return min(BUILT_IN.values(), key=apart).name


def plastic_of(asked: Mapping[str, Any]) -> Plastic:
    """The plastic that a request's `plastic` names, salt left out: its own figures, else its grade's."""
    plastic = BUILT_IN[asked["grade"]]
    own: dict[str, Any] = {
        name: Range(told["low"], told["typical"], told["high"], FIGURES[name].unit, told["source"])
        for name, told in asked.get("properties", {}).items()
    }
    if not own:
        return plastic
    return replace(plastic, name=asked.get("name", plastic.name), **own)


def name_of(asked: Mapping[str, Any]) -> str:
    """What a request calls its plastic."""
    return str(asked.get("name", asked["grade"]))
