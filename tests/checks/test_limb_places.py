"""Where joints off the trunk are told to lie along the bait: by trigonometry on straight limbs of a straight rod."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.open_form.bodies import LEG, TRUNK, bait
from worker.estimate import estimate
from worker.request import read_request


def told(body: dict[str, Any]) -> tuple[list[dict[str, Any]], dict[int, float]]:
    """The joints off the trunk, and how far behind the foremost point each lies."""
    answer = estimate(read_request(body))
    joints = [one for one in answer["metrics"]["joints"] if one["strand"] != "trunk"]
    return joints, {one["joint"]: one["along_mm"] for one in answer["limb_places"]}


@pytest.mark.parametrize("yaw", [60, 90, 120])
def test_a_limb_that_leans_back_is_told_where_its_joint_is(yaw: float) -> None:
    """Its path runs straight from the trunk's axis at 30 mm, `yaw` degrees from the direction to the tail."""
    joints, places = told(bait(TRUNK, {**LEG, "yaw": yaw, "both_sides": True}))
    assert len(joints) == len(places) >= 2
    for joint in joints:
        along = 30 + joint["station_mm"] * math.cos(math.radians(yaw))
        assert places[joint["joint"]] == pytest.approx(along, abs=1e-4)


def test_both_sides_lie_at_one_place_and_the_trunk_is_not_among_them() -> None:
    answer = estimate(read_request({"style": "shrimp"}))
    joints = {one["joint"]: one for one in answer["metrics"]["joints"]}
    places = {one["joint"]: one["along_mm"] for one in answer["limb_places"]}
    assert set(places) == {number for number, one in joints.items() if one["strand"] != "trunk"}
    by_name = {(one["strand"], one["kind"]): places[number] for number, one in joints.items() if number in places}
    pairs = [(name, kind) for name, kind in by_name if name.startswith("left ")]
    assert len(pairs) > 8
    for name, kind in pairs:
        assert by_name[name, kind] == by_name[f"right{name.removeprefix('left')}", kind]
    # Legs stand from the head on, one behind the other, and all within the bait.
    legs = [by_name[f"left leg {number}", "root"] for number in range(1, 6)]
    assert legs == sorted(legs) and legs[0] > 0 and legs[-1] < answer["metrics"]["length_mm"]


def test_a_tentacle_of_a_tube_hangs_where_its_wall_ends() -> None:
    """What hollows leave has the trunk's own stations, and a tube's trunk runs straight back from the nose."""
    answer = estimate(read_request({"style": "tube"}))
    (joint,) = [one for one in answer["metrics"]["joints"] if one["strand"] == "tentacle"]
    assert answer["limb_places"] == [{"joint": joint["joint"], "along_mm": joint["station_mm"]}]


def test_a_bait_without_limbs_tells_none() -> None:
    assert estimate(read_request({"style": "ribbed_worm"}))["limb_places"] == []
