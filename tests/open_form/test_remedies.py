"""Remedies of baits in the open form: patches that replace the strands whole, and make their check pass."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.open_form.bodies import LEG, TRUNK, bait
from tests.property.drawn import merged
from worker.estimate import estimate
from worker.request import read_request

Body = dict[str, Any]

BEADS: Body = {"kind": "beads", "count": 7, "blend": 0}
THIN_LEG: Body = {**LEG, "girth": [{"at": 0, "width": 1}, {"at": 1, "width": 0.9}], "root_blend": 0}
SLOT_ACROSS: Body = {
    "kind": "slot",
    "start": [30, -15, 0],
    "yaw": 90,
    "path": {"length": 30},
    "girth": [{"at": 0, "width": 2, "height": 40}],
    "ends": {"root": 0, "tip": 0},
}

BAD: list[tuple[str, str, Body]] = [
    ("beads in a thin neck", "joint_pull", bait({**TRUNK, "relief": BEADS})),
    ("beads that part", "single_piece", bait({**TRUNK, "relief": {**BEADS, "count": 5, "blend": 0}})),
    ("beads that barely overlap", "overlap", bait({**TRUNK, "relief": {**BEADS, "count": 6}})),
    ("deep ribs", "joint_pull", bait(
        {**TRUNK, "girth": [{"at": 0, "width": 6}], "relief": {"kind": "ribs", "depth": 1.4}},
        require={"joint_pull_n": 15},
    )),
    ("more asked than it holds", "joint_pull", bait(TRUNK, require={"joint_pull_n": 200})),
    ("a weak leg", "joint_pull", bait(TRUNK, THIN_LEG)),
    ("a thin leg", "thin_feature", bait(
        TRUNK, {**THIN_LEG, "root_blend": 1}, checks={"thin_feature": {"limit": 1.5}},
    )),
    ("a thin trunk", "thin_feature", bait({**TRUNK, "girth": [
        {"at": 0, "width": 5}, {"at": 0.5, "width": 1.5, "height": 0.9}, {"at": 1, "width": 5},
    ]})),
    ("a slot that parts it", "single_piece", bait(TRUNK, hollows=[SLOT_ACROSS])),
]  # fmt: skip


@pytest.mark.parametrize(("check", "body"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_every_remedy_makes_its_check_pass(check: str, body: Body) -> None:
    request = read_request(body)
    answers = {answer["check"]: answer for answer in estimate(request)["checks"]}
    assert answers[check]["verdict"] != "pass" and answers[check]["remedies"], answers[check]
    for remedy in answers[check]["remedies"]:
        patch = json.loads(json.dumps(remedy["patch"]))
        mended = read_request(merged(body, patch))
        again = {answer["check"]: answer for answer in estimate(mended)["checks"]}
        assert again[check]["verdict"] == "pass", remedy
        # What a client does to its own text and what is done to the normal form are one bait.
        assert request.changed(patch).id == mended.id


def test_a_remedy_for_legs_leaves_all_else_as_it_is() -> None:
    body = bait(TRUNK, THIN_LEG, {**LEG, "name": "arm", "kind": "claw", "stations": [0.8]})
    answers = {answer["check"]: answer for answer in estimate(read_request(body))["checks"]}
    (remedy,) = answers["joint_pull"]["remedies"]
    assert "legs" in remedy["text"]
    before = read_request(body).normal["strands"]
    after = remedy["patch"]["strands"]
    assert [after[0], after[2]] == [before[0], before[2]]
    assert after[1] != before[1]
    changed = {name for name in after[1] if after[1][name] != before[1][name]}
    assert changed <= {"girth", "root_blend"}
