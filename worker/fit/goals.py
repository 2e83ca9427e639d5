"""What a fit can be asked to make the most of; the words of a maker, each with the figure that it stands for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from worker.fit.figures import FIGURES


@dataclass(frozen=True)
class Goal:
    """`figure` is to be as great or as small as can be."""

    figure: str
    greatest: bool
    title: str


GOALS: dict[str, Goal] = {
    "greatest_flexibility": Goal("flexibility_ratio", True, "the greatest flexibility"),
    "least_mass": Goal("mass_g", False, "the least mass"),
    "strongest_joint": Goal("pull_over_limit", True, "the strongest joint"),
    "least_plastic": Goal("volume_mm3", False, "the least plastic"),
}
"""Goals by the name that a request may give alone."""
NEAREST = "nearest"
"""The goal that has no figure: to change a bait the least."""


def words_of(goal: Mapping[str, Any]) -> str:
    """A goal in normal form, in words."""
    ((way, what),) = goal.items()
    if way == NEAREST:
        return "the least change"
    for named in GOALS.values():
        if (named.figure, named.greatest) == (what, way == "greatest"):
            return named.title
    return f"the {way} {FIGURES[what].parameter.title.lower()}"
