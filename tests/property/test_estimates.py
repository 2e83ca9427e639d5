"""What an estimate says of a bait is what its mesh says once it is built: every figure, every verdict, every style."""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from hypothesis import given, reject

from tests.checks.of_a_build import of_both
from tests.property.drawn import Body, drawing
from tests.property.test_every_bait import any_bodies
from worker.build import build
from worker.errors import InfeasibleRequest
from worker.estimate import estimate
from worker.request import read_request
from worker.styles import STYLES

WITHIN = 0.01
"""Of a figure of the built bait."""
NOTHING = 1e-5
"""Figures that differ by no more are equal: what is left of two that are even is rounded to a millionth."""
QUICK, PROOF = 2, 500
Figures = Iterator[tuple[str, Any]]


def figures_in(told: Any, name: str = "") -> Figures:
    """Every leaf of a JSON value with the names that lead to it; rows of a list have their number."""
    if isinstance(told, dict):
        for member, below in told.items():
            yield from figures_in(below, f"{name}.{member}")
    elif isinstance(told, list):
        for number, below in enumerate(told):
            yield from figures_in(below, f"{name}[{number}]")
    else:
        yield name, told


def apart(estimated: float, built: float) -> float:
    """By which share of the built figure the two differ."""
    away = abs(estimated - built)
    return 0.0 if away <= NOTHING else away / max(abs(built), 1e-12)


@dataclass
class Spread:
    """Of each bait the figure that differs the most, and by what share."""

    worst: list[tuple[float, str]] = field(default_factory=list)

    def of(self, estimated: dict[str, Any], built: dict[str, Any]) -> None:
        """Takes one bait in: figures that both give."""
        both = {name: told for name, told in estimated.items() if name in built}
        there = dict(figures_in({name: built[name] for name in both}))
        here = dict(figures_in(both))
        assert here.keys() == there.keys()
        numbers = {name: told for name, told in here.items() if type(told) in (int, float)}
        words = {name: told for name, told in here.items() if name not in numbers}
        assert words == {name: there[name] for name in words}
        self.worst.append(max((apart(told, there[name]), name) for name, told in numbers.items()))

    def in_words(self) -> str:
        """Median and greatest difference, and the figure that it is of."""
        most, name = max(self.worst)
        middle = statistics.median(share for share, _ in self.worst)
        return f"median {100 * middle:.2f} %, most {100 * most:.2f} % ({name.lstrip('.')})"


def test_differences_are_seen() -> None:
    spread = Spread()
    spread.of({"a": {"b": [1.0, 2.02]}, "words": "same"}, {"a": {"b": [1.0, 2.0]}, "words": "same", "triangles": 3})
    assert spread.worst == [(pytest.approx(0.01), ".a.b[1]")]
    with pytest.raises(AssertionError):
        spread.of({"a": [1.0]}, {"a": [1.0, 2.0]})
    with pytest.raises(AssertionError):
        spread.of({"behaviour": "sinks"}, {"behaviour": "floats"})


@pytest.mark.parametrize("style", sorted(STYLES))
@pytest.mark.parametrize(
    "examples", [pytest.param(QUICK, id="quick"), pytest.param(PROOF, id="proof", marks=pytest.mark.proof)]
)
def test_an_estimate_is_what_is_built(
    style: str, examples: int, proof_row: Callable[[str, object, object], None]
) -> None:
    """Every figure that both give within a hundredth, and no verdict differs."""
    spread = Spread()

    def holds(body: Body) -> None:
        try:
            request = read_request(body)
        except InfeasibleRequest:
            reject()
        told, made = estimate(request), build(request)
        spread.of(told["metrics"], made.metrics)
        share, name = spread.worst[-1]
        assert share <= WITHIN, (name, share, body)
        verdicts = [
            {check["check"]: check["verdict"] for check in checks} for checks in (told["checks"], of_both(made.checks))
        ]
        assert verdicts[0] == verdicts[1], body

    try:
        given(any_bodies(style))(drawing(examples, same=examples == QUICK)(holds))()
    finally:
        if examples == PROOF and spread.worst:
            name = f"estimates of {style.replace('_', ' ')}s against builds, worst figure of each bait"
            proof_row(f"{name} ({len(spread.worst)} baits)", spread.in_words(), f"{100 * WITHIN:g} %")
