"""Every remedy that a check offers, applied as the merge patch it is, makes that check pass."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import assume
from hypothesis import strategies as st

from tests.property.drawn import WORMS, Body, bodies, for_all, merged
from worker.estimate import estimate
from worker.request import read_request


@st.composite
def bad_baits(draw: st.DrawFn) -> Body:
    """Requests of which some check asks for something better."""
    body = draw(bodies(WORMS))
    if draw(st.booleans()):
        body["require"] = {"joint_pull_n": draw(st.integers(1, 120))}
    if draw(st.booleans()):
        body["checks"] = {"thin_feature": {"limit": draw(st.integers(4, 60)) / 10}}
    assume(any(check["verdict"] != "pass" for check in _checks(body).values()))
    return body


def _checks(body: Body) -> dict[str, dict[str, Any]]:
    return {check["check"]: check for check in estimate(read_request(body))["checks"]}


@for_all(bad_baits(), quick=10, proof=500)
def test_every_remedy_mends_its_check(body: Body) -> None:
    request = read_request(body)
    for name, check in _checks(body).items():
        for remedy in check["remedies"]:
            patch = json.loads(json.dumps(remedy["patch"]))
            mended = read_request(merged(body, patch))
            answers = {answer["check"]: answer for answer in estimate(mended)["checks"]}
            assert answers[name]["verdict"] == "pass", (name, remedy)
            # What a client does to its own text and what we do to the normal form are one bait.
            assert request.changed(patch).id == mended.id
            assert remedy["text"]
            assert remedy["gives"] >= 0


def _beyond_one_change(body: Body, check: str) -> bool:
    """Beads of which 200 are too few; a thin end of a taper, or a thin and flat core, which can take two changes."""
    return check == "thin_feature" or (check == "overlap" and body["params"]["bead_count"] > 150)


@for_all(bad_baits(), quick=10, proof=500)
def test_a_check_that_fails_offers_a_remedy_and_one_that_passes_none(body: Body) -> None:
    for name, check in _checks(body).items():
        if check["verdict"] == "fail" and not _beyond_one_change(body, name):
            assert check["remedies"], (name, check["text"])
        if check["verdict"] == "pass":
            assert not check["remedies"]


# RFC 7396, appendix A, so that the patches are merged here as the standard has it.
@pytest.mark.parametrize(("target", "patch", "result"), [
    ({"a": "b"}, {"a": "c"}, {"a": "c"}),
    ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
    ({"a": "b"}, {"a": None}, {}),
    ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
    ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
    ({"a": [1, 2]}, {"a": 1}, {"a": 1}),
    ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
    ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
])  # fmt: skip
def test_the_merge_patch_of_these_tests(target: Any, patch: Any, result: Any) -> None:
    assert merged(target, patch) == result
