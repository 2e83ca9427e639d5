"""A bound that a refusal tells is taken: who sends it back is not refused for the same reason again.

Every parameter of every style goes to each end of its own range in turn, the example's others staying as they are. What
is expected comes from the contract alone: `allowed` is what a caller may send.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest

from worker.errors import Fault, InfeasibleRequest
from worker.request.request import read_request
from worker.styles import STYLES
from worker.values.rows import Rows
from worker.values.told_bounds import at_least, at_most

SEEN_LATER = {("lizard", "/params/leg_root", "root-too-thick")}
"""Refused from the numbers first, and from the limbs as they lie once those allow it: the second bound is tighter."""


def refusals(request: dict[str, Any]) -> tuple[Fault, ...]:
    try:
        read_request(request)
    except InfeasibleRequest as refused:
        return refused.faults
    return ()


def at_the_ends(name: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """A request for each end of each number of a style."""
    style = STYLES[name]
    for parameter in style.parameters:
        if isinstance(parameter, Rows) or parameter.kind == "choice":
            continue
        for value in (parameter.minimum, parameter.maximum):
            request = copy.deepcopy(dict(style.example))
            request["params"] = {**request["params"], parameter.name: value}
            yield f"{parameter.name} = {value:g}", request


SLOW = {"shrimp"}  # half a minute of refusals, each with baits that are made to tell what would do


@pytest.mark.parametrize("name", [pytest.param(n, marks=pytest.mark.proof if n in SLOW else ()) for n in STYLES])
def test_a_told_bound_is_taken(name: str) -> None:
    refused_again = []
    for what, request in at_the_ends(name):
        for fault in refusals(request):
            if not isinstance(fault.allowed, dict) or fault.pointer.count("/") != 2:
                continue
            parameter = fault.pointer.rpartition("/")[2]
            for end in {"maximum", "minimum"} & set(fault.allowed):
                changed = copy.deepcopy(request)
                changed["params"][parameter] = fault.allowed[end]
                again = {(name, one.pointer, one.code) for one in refusals(changed)} - SEEN_LATER
                if (name, fault.pointer, fault.code) in again:
                    refused_again.append((what, fault.pointer, fault.code, end, fault.allowed[end]))
    assert refused_again == []


def test_bounds_are_rounded_inwards() -> None:
    assert (at_most(3.47075), at_least(3.47075)) == (3.4707, 3.4708)
    assert (at_most(0.95 * 9), at_least(0.25 + 0.1)) == (8.55, 0.35), "what arithmetic loses is no step"
