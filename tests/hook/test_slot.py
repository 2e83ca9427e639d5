"""Whether a slot takes the hook: by hand-worked places, and every remedy mends it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import reject
from hypothesis import strategies as st

from tests.property.drawn import Body, exists, for_all, merged
from worker.estimate import estimate
from worker.request import read_request

# A body 100 mm long with a slot from 30 to 55 mm, 2 mm wide.
BAIT: Body = {
    "style": "stick_worm",
    "params": {"length": 100, "girth": 14, "hook_slot": "back", "hook_slot_at": 30, "hook_slot_length": 25},
}


def asked(station: str, wire: float = 1.0, kind: str = "texas", **params: Any) -> dict[str, Any] | None:
    """The check's answer."""
    rig = {"kind": kind, "station": station, "hook": {"gape": 20, "shank": 40, "wire": wire}}
    body = {**BAIT, "params": {**BAIT["params"], **params}, "rig": rig}
    answers = {each["check"]: each for each in estimate(read_request(body))["checks"]}
    return answers.get("hook_slot")


@pytest.mark.parametrize(
    ("station", "wire", "verdict", "spare"),
    [
        ("40 mm", 1.0, "pass", 1.0),  # the width leaves 2 - 1
        ("31 mm", 1.0, "pass", 0.5),  # the front end: 31 - 30 - half a wire
        ("54.75 mm", 1.0, "fail", -0.25),  # the rear end: 55 - 54.75 - half a wire
        ("40 mm", 2.4, "fail", -0.4),
        ("20 mm", 1.0, "fail", -10.5),
    ],
)
def test_by_hand(station: str, wire: float, verdict: str, spare: float) -> None:
    answer = asked(station, wire)
    assert answer is not None
    assert answer["verdict"] == verdict and answer["value"] == pytest.approx(spare, abs=1e-6)


def test_it_is_asked_only_where_there_is_a_slot_and_a_rig_that_lies_in_it() -> None:
    assert asked("40 mm", kind="wacky") is None
    assert asked("40 mm", hook_slot="none") is None
    assert asked("40 mm", kind="jig_head") is not None


@st.composite
def slotted(draw: st.DrawFn) -> Body:
    """Slots, wires and places that seldom fit."""
    style = draw(st.sampled_from(["stick_worm", "beaded_worm", "ribbed_worm", "paddle_tail", "grub"]))
    params = {
        "hook_slot": draw(st.sampled_from(["back", "belly"])),
        "hook_slot_width": draw(st.integers(15, 30)) / 10,
        "hook_slot_at": draw(st.integers(10, 60)),
        "hook_slot_length": draw(st.integers(5, 40)),
    }
    hook = {"gape": 20, "shank": draw(st.integers(10, 60)), "wire": draw(st.integers(6, 60)) / 20}
    body = {
        "style": style,
        "params": params,
        "rig": {"kind": draw(st.sampled_from(["texas", "jig_head"])), "hook": hook},
    }
    if not exists(body):
        reject()
    return body


@for_all(slotted(), quick=8, proof=300)
def test_every_remedy_makes_it_fit(body: Body) -> None:
    request = read_request(body)
    answer = {each["check"]: each for each in estimate(request)["checks"]}["hook_slot"]
    assert (answer["verdict"] == "fail") == (answer["value"] < 0) == bool(answer["remedies"])
    for remedy in answer["remedies"]:
        patch = json.loads(json.dumps(remedy["patch"]))
        mended = read_request(merged(body, patch))
        assert {each["check"]: each for each in estimate(mended)["checks"]}["hook_slot"]["verdict"] == "pass", remedy
        assert request.changed(patch).id == mended.id
