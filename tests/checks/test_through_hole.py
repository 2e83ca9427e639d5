"""Whether a bait is open only where something is taken out of it: rings that strands close, counted on the solid."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.open_form.bodies import LEG, SLOT, TRUNK, Body, bait
from tests.property.drawn import merged
from worker.build import build
from worker.estimate import estimate
from worker.request import read_request
from worker.styles import STYLES

FRONT: Body = {
    **LEG,
    "name": "front",
    "stations": [0.4],
    "yaw": 70,
    "path": {"length": 25},
    "girth": [{"at": 0, "width": 3}, {"at": 1, "width": 3}],
}
REAR: Body = {**FRONT, "name": "rear", "stations": [0.7], "yaw": 110}
"""Legs from 24 and 42 mm that lean to each other by 20 degrees: their axes cross 9 / sin 20 = 26.3 mm out, and legs of
3 mm that end at 25 mm meet before."""
ACROSS: Body = {
    "kind": "slot",
    "start": [30, -15, 0],
    "yaw": 90,
    "path": {"length": 30},
    "girth": [{"at": 0, "width": 2, "height": 4}],
    "ends": {"root": 0, "tip": 0},
}
"""A hole from one side to the other, with plastic above and below it."""


def built(body: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The answer to the check, and the metrics."""
    made = build(read_request({**body, "outputs": ["stl"]}))
    return next(each for each in made.checks if each["check"] == "through_hole"), made.metrics


@pytest.mark.parametrize("style", sorted(STYLES))
def test_no_style_has_a_hole_that_nothing_explains(style: str) -> None:
    for body in ({"style": style}, STYLES[style].example):
        answer, metrics = built({**body, "tolerance_mm": 0.05})
        assert answer["verdict"] == "pass" and answer["value"] == answer["limit"] == metrics["through_holes"]
        assert answer["remedies"] == [] and answer["where"] is None


def test_legs_that_meet_again_close_a_ring() -> None:
    answer, metrics = built(bait(TRUNK, FRONT, REAR))
    assert metrics["through_holes"] == 1 and metrics["pieces"] == 1
    assert (answer["verdict"], answer["value"], answer["limit"], answer["unit"]) == ("caution", 1, 0, "holes")
    assert "the front meets the rear again" in answer["text"]
    assert answer["where"]["strand"] == "front"
    x, y, z = answer["where"]["centre_mm"]
    # Legs that meet head on at this angle touch where their axes are about a leg's width apart, before x = 33.
    assert x == pytest.approx(33, abs=1.6) and 19 <= y <= 25 and abs(z) < 1e-9


def test_each_remedy_leaves_no_ring() -> None:
    body = bait(TRUNK, FRONT, REAR)
    answer, _ = built(body)
    words = [remedy["text"].partition(":")[0] for remedy in answer["remedies"]]
    assert len(words) >= 3 and words[0].endswith("mm long") and words[-1] == "without the front"
    assert any("yaw" in each for each in words)
    for remedy in answer["remedies"]:
        changed = merged(body, json.loads(json.dumps(remedy["patch"])))
        again, metrics = built(changed)
        assert again["verdict"] == "pass" and metrics["through_holes"] == remedy["gives"] == 0, remedy
        assert read_request(body).changed(remedy["patch"]).id == read_request(changed).id


def test_what_is_taken_out_explains_its_own_hole_and_no_other() -> None:
    bored, metrics = built(bait(TRUNK, hollows=[ACROSS]))
    assert (metrics["through_holes"], bored["verdict"], bored["value"], bored["limit"]) == (1, "pass", 1, 1)
    both, metrics = built(bait(TRUNK, FRONT, REAR, hollows=[ACROSS]))
    assert (metrics["through_holes"], both["verdict"], both["value"], both["limit"]) == (2, "caution", 2, 1)
    assert both["remedies"] and all(remedy["gives"] == 1 for remedy in both["remedies"])
    blind, metrics = built(bait(TRUNK, FRONT, REAR, hollows=[SLOT]))
    assert (metrics["through_holes"], blind["verdict"], blind["limit"]) == (1, "caution", 0)


def test_a_strand_that_something_is_taken_out_of_is_not_left_out() -> None:
    slot = {**SLOT, "strand": "front", "from": 0.3, "to": 0.6, "width": 1, "depth": 1}
    answer, _ = built(bait(TRUNK, FRONT, REAR, hollows=[slot]))
    assert answer["remedies"] and not any(each["text"].startswith("without") for each in answer["remedies"])


def test_an_estimate_leaves_it_out_and_a_build_asks_it_in_the_tables_order() -> None:
    request = read_request(bait(TRUNK, FRONT, REAR, checks={"through_hole": {"silence": True}}))
    estimated = [each["check"] for each in estimate(request)["checks"]]
    answers = build(request).checks
    assert "through_hole" not in estimated
    assert [each["check"] for each in answers if each["check"] != "through_hole"] == estimated
    order = [each["check"] for each in answers]
    assert order.index("thin_feature") < order.index("through_hole") < order.index("resolution")
    assert next(each for each in answers if each["check"] == "through_hole")["silenced"]
