"""What every style here owes: sound solids over its ranges, faults that say what would do, remedies that mend."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import strategies as st

from tests.property.drawn import Body, for_all, merged
from tests.styles.baits import bad_bodies_of, bodies_of, checks_of, faults, params_of
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.request import read_request
from worker.solid.join import joined
from worker.styles import STYLES
from worker.values.parameter import Parameter

NAMES = ("stick_worm", "grub", "paddle_tail", "leech", "tube", "pull_bar", "bend_rod")


@pytest.mark.parametrize("name", NAMES)
def test_the_plain_bait_and_the_example_hold(name: str) -> None:
    """A style's own bait is one that a maker could pour: no check fails."""
    for body in ({"style": name}, dict(STYLES[name].example)):
        checks = estimate(read_request(body))["checks"]
        assert [check["check"] for check in checks if check["verdict"] == "fail"] == []


@for_all(st.sampled_from(NAMES).flatmap(bodies_of), quick=15, proof=1000)
def test_what_is_taken_makes_a_sound_solid(body: Body) -> None:
    """Closed, outward and apart from itself (the solid's own proof), one piece where the estimate says one."""
    request = read_request(body)
    subject = Subject(request)
    solid = joined(subject.strands, request.normal["tolerance_mm"], subject.hollows)
    assert len(solid.parts) == subject.pieces == 1
    assert solid.through_holes == 0 or subject.hollows
    # A pull bar is told by its parts.
    length = float(request.normal["params"].get("length", subject.size.length))
    straight = request.normal["params"].get("length_is") == "laid_straight"
    if not straight:
        # To the tolerance: corners of a ring that keeps its area lie up to that far outside of the surface.
        assert solid.extent[0] == pytest.approx(length, abs=request.normal["tolerance_mm"])
    assert solid.volume == pytest.approx(subject.size.volume, rel=0.02)


@for_all(st.sampled_from(NAMES).flatmap(lambda name: st.tuples(st.just(name), params_of(name))), quick=80, proof=2000)
def test_what_a_fault_allows_is_no_longer_that_fault(drawn: tuple[str, dict[str, Any]]) -> None:
    """The range beside a fault is within the parameter's own and its nearer end mends it."""
    name, params = drawn
    for pointer, allowed in faults(name, **params).items():
        parameter = STYLES[name].parameter(pointer.rpartition("/")[2])
        assert isinstance(parameter, Parameter)
        if not isinstance(allowed, dict) or "choices" in allowed:
            continue
        low = max(float(allowed.get("minimum", parameter.minimum)), parameter.minimum)
        high = min(float(allowed.get("maximum", parameter.maximum)), parameter.maximum)
        if low > high:
            continue
        value: float | int = float(np.clip(params[parameter.name], low, high))
        assert value != params[parameter.name], "what was refused lies within what is allowed"
        if parameter.kind == "whole":
            value = round(value)
        again = faults(name, **{**params, parameter.name: value})
        assert pointer not in again or again[pointer] != allowed


@for_all(st.sampled_from(NAMES).flatmap(bad_bodies_of), quick=10, proof=500)
def test_every_remedy_mends_its_check(body: Body) -> None:
    """A failed check offers a remedy, and applied as the merge patch it is it passes."""
    for name, check in checks_of(body).items():
        for remedy in check["remedies"]:
            mended = merged(body, json.loads(json.dumps(remedy["patch"])))
            assert checks_of(mended)[name]["verdict"] == "pass", (name, remedy)
        if name == "joint_pull" and check["verdict"] == "fail":
            assert check["remedies"], check["text"]
