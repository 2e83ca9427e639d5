"""What a craw's joints hold: the same in an estimate and in a build, limits by kind, remedies that mend."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from tests.checks.of_a_build import of_both
from tests.craw.drawn_craws import craw, craw_bodies, named
from tests.property.drawn import for_all, merged
from worker.build import build
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.measures.hook.along import held_at_nose
from worker.measures.strand.limb_joints import limb_joints, thinnest_of
from worker.measures.strand.trunk import trunk_flexibility, trunk_girth, trunk_joints
from worker.measures.strand.trunk_section import hang_together, trunk_sections
from worker.request import read_request
from worker.strands.attach import attach
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.values.plastics import BUILT_IN, Range

STRENGTH = Range(1.0, 1.0, 1.0, "MPa", "one, so that a pull is an area over a factor")


def rod(name: str, diameter: float, aside: float) -> Strand:
    """A plain round strand 40 mm long, `aside` mm to the left."""
    girth = Girth.circular((0.0, diameter), (1.0, diameter))
    return Strand(name, "trunk", StraightPath(40, (0, aside, 0)), girth, Plain((0.0, 0.0)))


def estimated(**params: object) -> dict[str, Any]:
    """The estimate of a craw."""
    return estimate(read_request({"style": "craw", "params": params}))


def test_the_section_of_two_circles_less_their_lens() -> None:
    # Lens of two circles of radius r, d apart: 2 r^2 acos(d / 2r) - d / 2 sqrt(4 r^2 - d^2).
    r, d = 4.0, 5.0
    lens = 2 * r * r * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r * r - d * d)
    sections = trunk_sections((rod("one", 8, -2.5), rod("two", 8, 2.5)), np.array([20.0]))
    assert sections.area[0] == pytest.approx(2 * math.pi * r * r - lens, rel=1e-3)
    assert (sections.half_width[0], sections.half_height[0]) == pytest.approx((6.5, 4.0))


def test_second_moments_of_circles_apart() -> None:
    # Each pi r^4 / 4 about its own middle, and area times distance squared beside it (Steiner).
    sections = trunk_sections((rod("one", 4, -6), rod("two", 4, 6)), np.array([20.0]))
    assert sections.up_down[0] == pytest.approx(2 * math.pi * 16 / 4, rel=3e-3)
    assert sections.sideways[0] == pytest.approx(2 * (math.pi * 16 / 4 + math.pi * 4 * 36), rel=3e-3)


@pytest.mark.parametrize(("aside", "groups"), [(3.9, 1), (4.1, 2)])
def test_strands_that_do_not_meet_are_groups_of_their_own(aside: float, groups: int) -> None:
    assert hang_together((rod("one", 4, 0), rod("two", 4, aside))) == groups


def test_a_root_is_a_shoulder_of_the_limbs_own_section() -> None:
    trunk = rod("trunk", 12, 0)
    limb = Strand(
        "leg",
        "leg",
        StraightPath(30, (20, 0, 0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)),
        Girth.circular((0.0, 3.0), (1.0, 3.0)),
        Plain((0.0, 1.0)),
    )
    joints, kinds = limb_joints(attach(limb, trunk, 1.0), trunk, STRENGTH)
    assert kinds == ("root",)
    assert joints.station[0] == pytest.approx(7.0, abs=1e-3)
    assert joints.area[0] == pytest.approx(math.pi * 2.25, rel=1e-6)
    assert 1.2 < joints.factor[0] < 2.0
    assert joints.pull[0] == pytest.approx(joints.area[0] / joints.factor[0])


def test_a_wrist_is_a_neck_where_the_claw_is_thinnest() -> None:
    strands = craw(claws="curl")
    limb, parent = named(strands, "left claw"), named(strands, "left lobe")
    joints, kinds = limb_joints(limb, parent, BUILT_IN["soft"].strength)
    assert kinds == ("root", "neck")
    assert joints.area[1] == pytest.approx(math.pi * 3.5 * 2.5 / 4, rel=1e-9)
    assert joints.area[1] < joints.area[0]


def test_the_thinnest_place_of_a_feeler_is_just_before_its_tip() -> None:
    across, station = thinnest_of(named(craw(), "left feeler 1"))
    # From 1.4 to 0.9 mm over its length; the last 0.9 mm is left out.
    assert across == pytest.approx(0.92, abs=0.02)
    assert 28 < station < 34


def test_necks_between_ribs_lie_between_the_lobes_and_all_of_the_body() -> None:
    trunk = tuple(strand for strand in craw() if not strand.limb)
    joints = trunk_joints(trunk, STRENGTH)
    assert len(joints) == named(craw(), "left lobe").relief.count
    lobe, core = trunk[1], trunk[0]
    assert (joints.area > lobe.body.area(lobe.body.side.gaps.station)).all()
    assert (joints.area < 2 * lobe.body.area(lobe.body.side.gaps.station) + core.body.area(np.array([30.0]))).all()
    assert trunk_girth(trunk) == pytest.approx(14, abs=0.02)
    assert 1.2 < trunk_flexibility(trunk, held_at_nose(trunk)) < 4


def test_every_limb_has_its_joints_and_the_limit_of_its_kind() -> None:
    joints = estimated()["metrics"]["joints"]
    limits = {joint["strand"]: joint["limit_n"] for joint in joints}
    assert limits["trunk"] == 20.0, "14 mm of girth"
    assert (limits["left claw"], limits["middle fan blade"]) == (3.0, 3.0)
    assert (limits["right leg 3"], limits["left feeler 1"]) == (1.2, 0.6)
    roots = {joint["strand"] for joint in joints if joint["kind"] == "root"}
    assert roots == {strand.name for strand in craw() if strand.limb}
    assert [joint["joint"] for joint in joints] == list(range(1, len(joints) + 1))


def test_the_weakest_joint_is_the_one_with_the_least_of_its_own_limit() -> None:
    # Thin feelers hold the fewest newtons, but it is the wrist that is asked for most.
    metrics = estimated(wrist_width=2.0, wrist_height=1.5, claw_thickness=2.0)["metrics"]
    shares = [joint["pull_n"] / joint["limit_n"] for joint in metrics["joints"]]
    weakest = metrics["weakest_joint"]
    assert weakest["pull_n"] / weakest["limit_n"] == min(shares)
    assert weakest["strand"] == "left claw"
    assert weakest["pull_n"] > min(joint["pull_n"] for joint in metrics["joints"])


def test_an_estimate_and_a_build_agree() -> None:
    request = read_request({"style": "craw", "tolerance_mm": 0.05, "outputs": ["stl"]})
    before, after = estimate(request), build(request)
    assert before["metrics"]["joints"] == after.metrics["joints"]
    assert before["metrics"]["weakest_joint"] == after.metrics["weakest_joint"]
    assert before["checks"] == of_both(after.checks)
    assert before["metrics"]["volume_mm3"] == pytest.approx(after.metrics["volume_mm3"], rel=0.01)
    assert before["metrics"]["pieces"] == after.metrics["pieces"] == 1


def _asks(answer: dict[str, Any], name: str) -> dict[str, Any]:
    return next(check for check in answer["checks"] if check["check"] == name)


@pytest.mark.parametrize(
    "params",
    [
        {"wrist_width": 2.0, "wrist_height": 1.5, "claw_thickness": 2.0},
        {"leg_root": 1.2, "leg_tip": 0.9, "wrist_width": 2.0, "wrist_height": 1.5, "claw_thickness": 2.0},
        {
            "body_width": 8.5,
            "body_height": 8,
            "core_width": 2.4,
            "rib_depth": 1.2,
            "wrist_width": 2.5,
            "claw_spread": 40,
        },
    ],
)
def test_a_remedy_applied_as_a_patch_mends(params: dict[str, object]) -> None:
    request = {"style": "craw", "params": params}
    mended = 0
    for check in estimate(read_request(request))["checks"]:
        for remedy in check["remedies"]:
            assert check["verdict"] != "pass"
            after = estimate(read_request(merged(request, remedy["patch"])))
            assert _asks(after, check["check"])["verdict"] == "pass", remedy["text"]
            mended += 1
    assert mended > 0


@for_all(craw_bodies(), quick=2, proof=200)
def test_every_check_of_a_craw_that_does_not_pass_offers_a_remedy_that_mends_it(body: dict[str, Any]) -> None:
    """Applied as an RFC 7396 merge patch."""
    for check in estimate(read_request(body))["checks"]:
        if check["verdict"] == "fail":
            assert check["remedies"], check["text"]
        for remedy in check["remedies"]:
            after = estimate(read_request(merged(body, remedy["patch"])))
            assert _asks(after, check["check"])["verdict"] == "pass", remedy["text"]


def test_a_thin_place_is_told_by_its_strand() -> None:
    thin = _asks(estimated(), "thin_feature")
    assert thin["where"]["strand"] == "left feeler 1"
    assert "feeler" in thin["text"]
    assert Subject(read_request({"style": "craw"})).thinnest.kind == "feeler"
