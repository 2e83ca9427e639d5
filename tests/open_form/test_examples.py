"""The worked examples of the open form: each is taken, holds what it is asked, and is what it says it shows."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from jsonschema import Draft202012Validator

from tests.open_form.bodies import solid_of
from worker.estimate import estimate
from worker.open_form import declared
from worker.open_form.examples import EXAMPLES, Example
from worker.request import Request, read_request, request_schema

SCHEMA = Draft202012Validator(request_schema())
NAMED = {example.name: example for example in EXAMPLES}


def _request(name: str) -> Request:
    return read_request({**NAMED[name].body, "tolerance_mm": 0.1, "outputs": ["stl"]})


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_each_can_be_sent_and_passes_its_checks(example: Example) -> None:
    assert SCHEMA.is_valid(dict(example.body))
    request = read_request({**example.body, "tolerance_mm": 0.1, "outputs": ["stl"]})
    answer = estimate(request)
    assert {check["check"]: check["verdict"] for check in answer["checks"] if check["verdict"] == "fail"} == {}
    solid = solid_of(request)
    assert len(solid.parts) == answer["metrics"]["pieces"] == 1
    assert solid.volume == pytest.approx(answer["metrics"]["volume_mm3"], rel=0.01)


def test_they_show_every_kind_of_path_relief_and_hollow() -> None:
    strands: list[Any] = [strand for example in EXAMPLES for strand in example.body["strands"]]
    hollows: list[Any] = [hollow for example in EXAMPLES for hollow in example.body.get("hollows", [])]
    assert {name for strand in strands for name in strand["path"]} == {"length", "points", "curve"}
    assert {strand.get("relief", {}).get("kind", "plain") for strand in strands} == {"plain", "beads", "ribs", "rings"}
    assert {hollow["kind"] for hollow in hollows if "path" not in hollow} == set(declared.HOLLOW_KINDS)
    assert any("path" in hollow for hollow in hollows)
    members = {name for strand in strands for name in strand}
    assert {"section", "ends", "bands", "both_sides", "stations", "yaw", "rise", "roll", "root_blend"} <= members


def test_ribs_on_the_back_leave_the_belly_smooth() -> None:
    (body,) = _request("ribs").bait.strands()
    assert body.body.back is not body.smooth.back
    at = body.path.length * np.arange(101) / 100
    assert np.array_equal(body.body.sizes(at)[2], body.smooth.sizes(at)[2])


def test_six_legs_stand_as_said_three_a_side() -> None:
    body, *legs = _request("parent").bait.strands()
    roots = [(leg.name, leg.root.station) for leg in legs if leg.root]
    assert [name for name, _ in roots] == [f"{side} leg {number}" for number in (1, 2, 3) for side in ("left", "right")]
    tips = np.array([leg.path.frames(np.array([leg.path.length]))[0][0] for leg in legs])
    assert tips[0::2] == pytest.approx(tips[1::2] * [1, -1, 1])
    # 18 mm long, 70 degrees to the left and 15 down from the trunk's path at 0.35 of 80 mm.
    assert tips[0] == pytest.approx([28 + 18 * 0.96593 * 0.34202, 18 * 0.96593 * 0.93969, -18 * 0.25882], abs=1e-3)
    assert body.root is None


def test_who_has_a_parent_with_copies_is_copied_with_it() -> None:
    names = [(strand.name, strand.root.parent if strand.root else None) for strand in _request("copies").bait.strands()]
    assert names == [
        ("core", None),
        ("left lobe", None),
        ("right lobe", None),
        ("fin 1 of the left lobe", "left lobe"),
        ("fin 2 of the left lobe", "left lobe"),
        ("fin 1 of the right lobe", "right lobe"),
        ("fin 2 of the right lobe", "right lobe"),
    ]


def test_a_pocket_is_closed_and_leaves_one_piece() -> None:
    solid = solid_of(_request("pocket"))
    assert (len(solid.parts), len(solid.surfaces)) == (1, 2)
    # A rod of 4.5 mm with round ends, 12 mm long over all: pi r^2 (L - 2r) + 4/3 pi r^3.
    pocket = min(part.volume() for part in solid.surfaces)
    assert -pocket == pytest.approx(np.pi * 2.25**2 * (12 - 4.5) + 4 / 3 * np.pi * 2.25**3, rel=0.01)


def test_a_tube_is_as_thick_as_its_wall_and_parted_by_its_cuts() -> None:
    request = read_request({**NAMED["inside_and_cut"].body, "outputs": ["stl"]})
    answer, solid = estimate(request)["metrics"], solid_of(request)
    # From 20 % on a ring of 2 mm, of which ten cuts 0.6 mm wide take their share from 60 % on.
    ring = np.pi * (7**2 - 5**2)
    assert answer["volume_mm3"] == pytest.approx(solid.volume, rel=0.01)
    behind = ring * 32 + (ring - 10 * 0.6 * 2) * 32
    assert solid.volume == pytest.approx(behind + np.pi * 49 * 16 - np.pi * 7**3 / 3 + np.pi * 5**3 / 3, rel=0.01)
