"""Whether the mesh shows the relief: the tolerance against what it may leave away, by hand."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from tests.open_form.bodies import TRUNK, bait
from tests.property.drawn import merged
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.request import read_request
from worker.request.bounds import MOST_TRIANGLES
from worker.strands.fineness import triangles_of
from worker.styles import STYLES

RINGS: dict[str, Any] = {"kind": "rings", "depth": 0.1, "count": 6, "from": "10 mm", "to": "40 mm"}


def asked(body: dict[str, Any], check: str = "resolution") -> dict[str, Any]:
    return next(each for each in estimate(read_request(body))["checks"] if each["check"] == check)


@pytest.mark.parametrize("style", sorted(STYLES))
def test_defaults_and_examples_are_shown_whole(style: str) -> None:
    for body in ({"style": style}, dict(STYLES[style].example)):
        assert asked(body)["verdict"] == "pass"


def test_half_the_depth_of_a_groove_is_the_coarsest_tolerance_that_shows_it() -> None:
    # A crest may lie 0.175 mm low and a groove 0.175 mm high: of 0.35 mm nothing is left then. Rings have no round
    # that would be lost before.
    body = bait({**TRUNK, "relief": {**RINGS, "depth": 0.35}})
    for tolerance, verdict in ((0.17, "pass"), (0.18, "caution")):
        answer = asked({**body, "tolerance_mm": tolerance})
        assert (answer["verdict"], answer["value"]) == (verdict, tolerance)
        assert answer["limit"] == pytest.approx(0.35 / 2, rel=1e-4)


def test_a_round_is_lost_where_one_chord_over_a_right_angle_is_fine_enough() -> None:
    # r (1 - cos 45 degrees) = 0.375 t: a sagitta (any book of formulas), and what the mesh's chords have of t.
    body = {"style": "beaded_worm", "params": {"joint_blend": 0.2}}
    lost = 0.2 * (1 - math.cos(math.pi / 4)) / 0.375
    answer = asked({**body, "tolerance_mm": 0.16})
    assert answer["limit"] == pytest.approx(lost, rel=1e-5) and answer["verdict"] == "caution"
    assert "a round of 0.2 mm radius" in answer["text"]
    assert asked({**body, "tolerance_mm": 0.155})["verdict"] == "pass"


def test_a_collar_and_a_thin_place_count_too() -> None:
    collar = bait({**TRUNK, "bands": [{"from": 0.3, "to": 0.6, "raised": 0.3}]}, tolerance_mm=0.2)
    assert "a collar 0.3 mm high" in asked(collar)["text"] and asked(collar)["limit"] == 0.15
    leaf = bait({**TRUNK, "girth": [{"at": 0, "width": 8, "height": 0.9}]}, detail="coarse", tolerance_mm=0.06)
    assert "a place 0.9 mm thick" in asked(leaf)["text"]
    assert (asked(leaf)["value"], asked(leaf)["limit"]) == (0.48, pytest.approx(0.45, rel=0.01))


BAD: list[tuple[dict[str, Any], dict[str, Any]]] = [
    (bait({**TRUNK, "relief": RINGS}, tolerance_mm=0.1), {"tolerance_mm": 0.05}),
    (bait({**TRUNK, "relief": RINGS}, detail="coarse"), {"detail": "full"}),
    (bait({**TRUNK, "relief": RINGS}, detail="coarse", tolerance_mm=0.1), {"detail": "full", "tolerance_mm": 0.05}),
]


@pytest.mark.parametrize(("body", "patch"), BAD)
def test_the_remedy_is_the_coarsest_that_does(body: dict[str, Any], patch: dict[str, Any]) -> None:
    answer = asked(body)
    assert answer["verdict"] == "caution"
    (remedy,) = answer["remedies"]
    assert set(remedy["patch"]) == set(patch)
    mended = asked(merged(body, json.loads(json.dumps(remedy["patch"]))))
    assert mended["verdict"] == "pass" and mended["value"] == remedy["gives"]
    if "tolerance_mm" in patch:
        told = remedy["patch"]["tolerance_mm"]
        assert told == pytest.approx(patch["tolerance_mm"], abs=0.00501)
        coarser = merged(body, {**remedy["patch"], "tolerance_mm": told + 0.005})
        assert asked(coarser)["verdict"] == "caution"
    assert read_request(body).changed(remedy["patch"]).id == read_request(merged(body, remedy["patch"])).id


def test_no_remedy_takes_more_triangles_than_a_bait_may_have() -> None:
    # Fourteen strands of forty beads with creases that a round of 0.1 mm fills: half a million triangles to show them.
    beads = {"kind": "beads", "count": 40, "blend": 0.1}
    strand = {**TRUNK, "path": {"length": 400}, "girth": [{"at": 0, "width": 40}], "relief": beads}
    trunks = [{**strand, "name": f"body {n}", "start": [0, 35 * n, 0]} for n in range(14)]
    body = bait(*trunks, tolerance_mm=0.2)
    answer = asked(body)
    fine = Subject(read_request(body)).strands
    assert triangles_of(fine, 0.075) > MOST_TRIANGLES
    assert answer["verdict"] == "caution" and answer["remedies"] == []


def test_it_can_be_silenced_and_is_no_limit_to_set() -> None:
    body = bait({**TRUNK, "relief": RINGS}, tolerance_mm=0.1, checks={"resolution": {"silence": True}})
    assert asked(body)["silenced"] and asked(body)["verdict"] == "caution"
