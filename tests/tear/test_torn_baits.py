"""Baits built with `checks.joint_pull.view` = `cut`: against the exact necks that planes take from outlines."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest

from service.openapi.document import document
from tests.checks.of_a_build import of_both
from worker.build import Built, build
from worker.checks import cuts
from worker.checks.cut_remedies import shaped
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.measures.solid.tear_section import TearSection
from worker.request.request import Request, read_request

DEMO = Path(__file__).resolve().parents[2] / "demo_requests"
CUT = {"checks": {"joint_pull": {"view": "cut"}}}
SHORT = {"style": "beaded_worm", "params": {"length": 60, "bead_diameter": 7, "bead_count": 9}, "outputs": []}

CORE, STRAND, SEAM = 4.0, 1.5, 1.0
UP = math.sqrt(CORE**2 - SEAM**2 / 4) + math.sqrt(STRAND**2 - SEAM**2 / 4)


def stuck(kind: str) -> dict[str, Any]:
    """A rod of 8 mm, and a strand of 3 mm stuck along it over 25 mm by a seam 1 mm wide (Pythagoras)."""
    trunk = {"name": "body", "kind": "trunk", "path": {"length": 60}, "girth": [{"at": 0, "width": 2 * CORE}]}
    curve = [
        {"point": [0, 0, 0], "tangent": [3, 0, 8]},
        {"point": [9, 0, UP], "tangent": [9, 0, 0]},
        {"point": [34, 0, UP], "tangent": [25, 0, 0]},
    ]
    strand = {
        "name": "back strand",
        "kind": kind,
        "parent": "body",
        "stations": [0.2],
        "root_blend": 0.4,
        "path": {"curve": curve},
        "girth": [{"at": 0, "width": 2 * STRAND}],
        "ends": {"tip": "flat"},
    }
    return {"strands": [trunk, strand], "outputs": ["plots"]}


def asked(body: dict[str, Any], **more: Any) -> Request:
    return read_request({**body, **more})


def torn(built: Built, extremity: str) -> dict[str, Any]:
    (found,) = (each for each in built.metrics["tear_sections"] if each["extremity"] == extremity)
    return dict(found)


def joint_check(built: Built) -> dict[str, Any]:
    (found,) = (each for each in built.checks if each["check"] == "joint_pull")
    return found


def test_a_build_says_whether_cuts_were_looked_at() -> None:
    assert build(asked(SHORT)).metrics["tear_sections"] is None
    told = estimate(asked(SHORT, **CUT))["metrics"]
    assert "tear_sections" not in told
    assert build(asked(SHORT, params={**SHORT["params"], "bead_count": 4}, **CUT)).metrics["tear_sections"] == []


def test_planes_are_the_default_and_written_or_not_one_bait() -> None:
    plain, written = asked(SHORT), asked(SHORT, checks={"joint_pull": {"view": "plane"}})
    assert plain.id == written.id != asked(SHORT, **CUT).id


def test_beads_tear_at_their_necks() -> None:
    """The necks' area is exact from the outline; the cuts find it in the mesh, and name the joint."""
    built = build(asked(SHORT, **CUT))
    joints = built.metrics["joints"]
    for end in ("nose", "tail_end"):
        cut = torn(built, end)
        joint = joints[cut["joint"] - 1]
        assert cut["area_mm2"] == pytest.approx(joint["area_mm2"], rel=5e-3)
        assert cut["centre_mm"][0] == pytest.approx(joint["station_mm"], abs=0.05)
        assert (cut["pull_n"], cut["mode"], cut["measured_on"]) == (joint["pull_n"], "tear", "surface")
    assert torn(built, "nose")["normal"][0] < -0.99 and torn(built, "tail_end")["normal"][0] > 0.99
    assert built.metrics["weakest_joint"]["view"] == "plane"
    before = estimate(asked(SHORT, **CUT))["checks"]
    assert of_both(built.checks) == before, "and what the checks say is what they said before"
    schema = document()
    jsonschema.Draft202012Validator({**schema, "$ref": "#/components/schemas/Metrics"}).validate(built.metrics)


@pytest.mark.proof
def test_a_strand_stuck_by_a_seam_peels_off_where_no_plane_sees_it() -> None:
    """Planes see its root alone, which holds more; the front has to pass where the strand sinks in, 3 mm wide."""
    request = asked(stuck("fin"), **CUT)
    built, before = build(request), estimate(request)
    cut = torn(built, "back strand")
    assert cut["mode"] == "peel" and cut["joint"] is None
    assert abs(cut["normal"][2]) > 0.99 and cut["length_mm"] == pytest.approx(34, abs=4)
    assert SEAM < cut["thickness_mm"] < 1.6 and cut["widest_mm"] == pytest.approx(2 * STRAND, rel=0.2)
    assert cut["pull_n"] == pytest.approx(0.6 * cut["widest_mm"], rel=1e-4)  # soft: 600 J/m2
    weakest = built.metrics["weakest_joint"]
    assert (weakest["view"], weakest["strand"], weakest["mode"]) == ("cut", "back strand", "peel")
    check = joint_check(built)
    assert check["verdict"] == "fail" and check["where"]["view"] == "cut"
    assert "no plane sees" in check["text"]
    (planes,) = (each for each in before["checks"] if each["check"] == "joint_pull")
    assert planes["verdict"] == "pass" and planes["text"] in check["text"]
    shape, plastic = check["remedies"]
    assert plastic["patch"] == {"plastic": {"grade": "firm", "salt_wt_pct": 0.0}} and plastic["gives"] >= 1.1 * 3.0
    assert shape["patch"].keys() == {"strands"} and "thicker" in shape["text"] and shape["gives"] >= 1.1 * 3.0
    schema = document()
    jsonschema.Draft202012Validator({**schema, "$ref": "#/components/schemas/Metrics"}).validate(built.metrics)
    plot = built.files["joints.svg"].decode()
    assert "It tears first where the back strand peels off" in plot and "tears first here" in plot
    assert "it holds" not in plot, "not of the strand's root either, beside that"


@pytest.mark.proof
def test_its_remedies_make_it_pass() -> None:
    """Each put in as a client would: the shape that was cut again tells exactly what its own build does."""
    shape, plastic = joint_check(build(asked(stuck("fin"), **CUT)))["remedies"]
    for remedy, near in ((shape, 1e-9), (plastic, 0.05)):
        mended = joint_check(build(asked(stuck("fin"), **remedy["patch"], **CUT)))
        assert mended["verdict"] == "pass"
        assert mended["value"] == pytest.approx(remedy["gives"], rel=near)


SEAM_CUT = TearSection(
    extremity="back strand",
    kind="fin",
    area=40.0,
    uncertainty=4.0,
    notch_factor=1.0,
    length=34.0,
    width=1.2,
    widest=2.6,
    long_seam=True,
    middle=np.array([30.0, 0.0, 4.0]),
    normal=np.array([0.0, 0.0, 1.0]),
    lost=0.1,
    flat=False,
    fine=True,
)
"""A made-up one that peels at 0.6 x 2.6 N of the 3 N asked of a fin."""


@pytest.mark.parametrize(("gain", "fewest", "most"), [(0.0, 2, 2), (0.03, 3, 8)])
def test_shapes_are_cut_again_few_times(gain: float, fewest: int, most: int) -> None:
    """Of two dials: one that does not help is left after one try, and one that helps too little after four at most."""
    subject, tried = Subject(asked(stuck("fin"), **CUT)), list[Subject]()

    def cut_again(other: Subject) -> tuple[TearSection, ...]:
        tried.append(other)
        return (replace(SEAM_CUT, widest=2.6 * (1 + gain * len(tried))),)

    assert shaped(cuts.torn(subject, SEAM_CUT), cut_again) is None
    assert len(list(subject.request.bait.dials("joint_pull of fin"))) == 2
    assert fewest <= len(tried) <= most


@pytest.mark.parametrize(("demo", "most"), [("19_ledge_lizard", 4), ("09_creek_craw", 1), ("18_marsh_shrimp", 1)])
def test_of_many_limbs_fewer_shapes_are_cut(demo: str, most: int) -> None:
    """A try takes 2.5, 4.5 and 6 s of CPU; seven lizards or four craws took most of the half minute of a build."""
    body = json.loads((DEMO / f"{demo}.json").read_text())
    subject, tried = Subject(asked(body, **CUT)), list[Subject]()
    limb = next(limb for limb in subject.limbs if any(subject.request.bait.dials(f"joint_pull of {limb.kind}")))
    weak = replace(SEAM_CUT, extremity=limb.name, kind=limb.kind, widest=0.05)

    def cut_again(other: Subject) -> tuple[TearSection, ...]:
        tried.append(other)
        return (replace(weak, widest=0.05 * 1.03 ** len(tried)),)

    assert shaped(cuts.torn(subject, weak), cut_again) is None
    assert 1 <= len(tried) <= most


def test_the_first_shape_that_holds_is_told() -> None:
    """What is asked, 1.1 x 3 N, takes a seam of 5.5 mm; each try widens this one by 0.6 of itself."""
    subject, tried = Subject(asked(stuck("fin"), **CUT)), list[Subject]()

    def cut_again(other: Subject) -> tuple[TearSection, ...]:
        tried.append(other)
        return (replace(SEAM_CUT, widest=2.6 * (1 + 0.6 * len(tried))),)

    remedy = shaped(cuts.torn(subject, SEAM_CUT), cut_again)
    assert remedy is not None and len(tried) == 2
    assert subject.request.changed(remedy.patch).id == tried[-1].request.id
    assert remedy.gives == pytest.approx(0.6 * 2.6 * 2.2)


def test_a_rig_holds_the_bait_where_its_hook_is() -> None:
    """A nose hook leaves no nose to lose; a wacky one holds the middle, and both halves hang from there."""
    rig = {"kind": "nose", "hook": {"gape": 8, "shank": 15, "wire": 0.8}}
    assert [each["extremity"] for each in build(asked(SHORT, rig=rig, **CUT)).metrics["tear_sections"]] == ["tail_end"]
    halves = build(asked(SHORT, rig={**rig, "kind": "wacky"}, **CUT))
    assert torn(halves, "nose")["lost_pct"] < 50 and torn(halves, "tail_end")["lost_pct"] < 50
    assert torn(halves, "nose")["station_mm"] < 30 < torn(halves, "tail_end")["station_mm"]


@pytest.mark.proof
def test_claws_of_a_craw_and_the_same_on_both_sides() -> None:
    body = {**json.loads((DEMO / "09_creek_craw.json").read_text()), "outputs": [], **CUT}
    built = build(read_request(body))
    left, right = torn(built, "left claw"), torn(built, "right claw")
    same = ("area_mm2", "pull_n", "mode", "uncertainty_mm2")
    assert [left[name] for name in same] == [right[name] for name in same]
    assert left["centre_mm"][1] == -right["centre_mm"][1] > 0
    necks = [joint["area_mm2"] for joint in built.metrics["joints"] if joint["strand"] == "left claw"]
    assert left["area_mm2"] == pytest.approx(min(necks), abs=2 * left["uncertainty_mm2"] + 0.05 * min(necks))
    names = {each["extremity"] for each in built.metrics["tear_sections"]}
    assert {"left feeler 1", "right feeler 1", "left leg 1", "tail_end", "middle fan blade"} <= names


@pytest.mark.proof
@pytest.mark.parametrize("path", sorted(DEMO.glob("*.json")), ids=lambda path: path.stem)
def test_cuts_of_every_demo_bait(path: Path) -> None:
    """Twice the same, and within bounds."""
    body = {**json.loads(path.read_text()), "outputs": [], **CUT}
    built = build(read_request(body))
    twice = build(read_request(body))
    assert built.metrics == twice.metrics
    for cut in built.metrics["tear_sections"]:
        assert cut["area_mm2"] > 0 and 0 < cut["uncertainty_mm2"] < cut["area_mm2"]
        assert cut["pull_low_n"] <= cut["pull_n"] <= cut["pull_high_n"]
        assert sum(part**2 for part in cut["normal"]) == pytest.approx(1, abs=1e-4)
