"""What joints of each kind are held to, by what a request requires, and what is offered where no change is enough."""

from __future__ import annotations

from typing import Any

import pytest

from tests.property.drawn import merged
from tests.tear.test_torn_baits import CUT, SEAM_CUT, stuck
from worker.checks.cuts import torn
from worker.checks.joint_cut import joint_cut
from worker.checks.joint_pull import joint_pull
from worker.checks.subject import Subject
from worker.errors import InvalidRequest
from worker.estimate import estimate
from worker.request import read_request

# Judgement, as the product's own sentence says: N.
USUAL = {"tail": 4.0, "claw": 3.0, "fan": 3.0, "leg": 1.2, "feeler": 0.6}
MEMBERS = {"tail": "tail_pull_n", "claw": "claw_pull_n", "leg": "leg_pull_n", "feeler": "feeler_pull_n"}
CRAW = {"style": "craw"}
TAILED = {"style": "beaded_worm", "params": {"tail": "curl"}}


def limits(body: dict[str, Any]) -> dict[str, set[float]]:
    """By the kind of limb, those of all its joints."""
    found: dict[str, set[float]] = {}
    subject = Subject(read_request(body))
    for joint, told in enumerate(estimate(subject.request)["metrics"]["joints"]):
        found.setdefault(subject.group_of(joint).strand_kind, set()).add(told["limit_n"])
    return found


def check(body: dict[str, Any]) -> dict[str, Any]:
    (found,) = (each for each in estimate(read_request(body))["checks"] if each["check"] == "joint_pull")
    return dict(found)


def test_each_kind_is_held_to_its_own_and_can_be_asked_for_another() -> None:
    usual = limits(CRAW) | limits(TAILED)
    assert {kind: usual[kind] for kind in USUAL} == {kind: {pull} for kind, pull in USUAL.items()}
    for kind, member in MEMBERS.items():
        body = TAILED if kind == "tail" else CRAW
        before, after = limits(body), limits({**body, "require": {member: 0.25}})
        changed = {each for each in before if before[each] != after[each]}
        assert changed == ({"claw", "fan"} if kind == "claw" else {kind})
        assert all(after[each] == {0.25} for each in changed)


def test_what_hollows_leave_is_asked_for_it_too() -> None:
    assert limits({"style": "tube", "require": {"feeler_pull_n": 0.25}})["tentacle"] == {0.25}


def test_left_out_it_is_no_part_of_the_bait() -> None:
    assert read_request({**CRAW, "require": {}}).id == read_request(CRAW).id
    assert read_request({**CRAW, "require": {"leg_pull_n": 1.2}}).id != read_request(CRAW).id


def test_what_is_out_of_range_is_named_with_it() -> None:
    with pytest.raises(InvalidRequest) as refused:
        read_request({**CRAW, "require": {"leg_pull_n": 0, "wing_pull_n": 3}})
    told = {fault.pointer: fault.allowed for fault in refused.value.faults}
    assert told.keys() == {"/require/leg_pull_n", "/require/wing_pull_n"}
    assert told["/require/leg_pull_n"] == {"minimum": 0.01, "maximum": 500.0, "unit": "N"}


@pytest.mark.parametrize("require", [
    {"leg_pull_n": 30},
    {"leg_pull_n": 30, "claw_pull_n": 40},
    {"leg_pull_n": 30, "joint_pull_n": 400},
])  # fmt: skip
def test_where_no_change_holds_it_is_told_what_can_be_asked(require: dict[str, float]) -> None:
    """A leg of 2 mm does not hold 30 N in any plastic, whatever its root: all that is weak is asked less at once."""
    body = {**CRAW, "require": require}
    failed = check(body)
    assert failed["verdict"] == "fail"
    (remedy,) = failed["remedies"]
    assert remedy["patch"]["require"].keys() == require.keys()
    assert all(0 < pull < require[name] for name, pull in remedy["patch"]["require"].items())
    mended = check(merged(body, remedy["patch"]))
    assert mended["verdict"] == "pass" and not mended["remedies"]


def test_of_a_place_that_only_a_cut_sees_too() -> None:
    """A seam that peels at 0.6 x 2.6 N, of a plastic as firm as any, where no other shape helps: 1.56 over 1.1."""
    firm = {"plastic": {"grade": "firm"}, "require": {"claw_pull_n": 12}}
    subject = Subject(read_request({**stuck("fin"), **firm, **CUT}))
    planes = joint_pull(subject)
    assert planes is not None
    weakest = torn(subject, SEAM_CUT)
    answer = joint_cut(planes, weakest, (SEAM_CUT,), lambda _: None)
    assert answer.verdict == "fail" and weakest.pulls[1] == pytest.approx(2.0 * 2.6)  # firm: 2,000 J/m2
    (remedy,) = answer.remedies
    assert remedy.patch == {"require": {"claw_pull_n": 4.72}}  # 5.2 / 1.1, rounded down
