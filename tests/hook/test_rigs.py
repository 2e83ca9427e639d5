"""A hook in a bait: what its wire crosses, what that holds and what stays clear of the gape, by hand.

Pull-through of a wire: F = thickness x (tear energy + 1.3 x 0.2 MPa x wire diameter) (from memory).
"""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from tests.outside.made import asked
from worker.checks.pull_limits import BEYOND_THE_HOOK
from worker.checks.subject import Subject
from worker.errors import InfeasibleRequest, InvalidRequest
from worker.estimate import estimate
from worker.measures.hook.along import place_along
from worker.measures.hook.rig import hook_of
from worker.request import read_request

Answer = dict[str, Any]
STICK = {"length": 130, "girth": 9}


def _answer(style: str, params: Answer, rig: Answer | None = None, **members: Any) -> Answer:
    extra = members if rig is None else {**members, "rig": rig}
    return estimate(asked(style, params, **extra))


def _checks(answer: Answer) -> dict[str, Answer]:
    return {check["check"]: check for check in answer["checks"]}


def _beads(rig: Answer | None = None, **members: Any) -> Answer:
    """Beads of 10 mm, 7.5 mm apart, the first at 5 mm: a crest at 35, a neck at 38.75."""
    return _answer("beaded_worm", {"length": 130, "bead_diameter": 10, "bead_count": 17}, rig, **members)


def test_no_rig_no_questions() -> None:
    answer = _beads()
    assert not {"hook_tear_out", "hook_clearance"} & set(_checks(answer))
    metrics = answer["metrics"]
    assert metrics["hook_hold_n"] is metrics["hook_hold_low_n"] is metrics["hook_clearance_mm"] is None


@pytest.mark.parametrize(("grade", "low", "tear", "high"), [
    ("soft", 0.3, 0.6, 1.2), ("medium", 0.5, 1.0, 2.0), ("firm", 1.0, 2.0, 4.0),
])  # fmt: skip
def test_the_hold_by_hand(grade: str, low: float, tear: float, high: float) -> None:
    """Through a crest of 10 mm: 10 x (tear energy + 0.26 x 1.2) N, tear energies in N/mm."""
    rig = {"kind": "texas", "station": "35 mm", "hook": {"wire": 1.2}}
    metrics = _beads(rig, plastic={"grade": grade})["metrics"]
    assert metrics["hook_hold_n"] == pytest.approx(10 * (tear + 0.26 * 1.2), rel=1e-4)
    assert metrics["hook_hold_low_n"] == pytest.approx(10 * (low + 0.26 * 1.2), rel=1e-4)
    assert metrics["hook_hold_high_n"] == pytest.approx(10 * (high + 0.26 * 1.2), rel=1e-4)


# A gape of 12 mm over a crest of 10 mm, a wire of 1.2 mm.
@pytest.mark.parametrize(("kind", "crossed", "clear"), [
    ("texas", 10, 2), ("jig_head", 5, 12 - (5 - 0.6)), ("wacky", 10, 7), ("neko", 10, 7), ("nose", 10, 7),
])  # fmt: skip
def test_what_each_rig_crosses_and_leaves_clear(kind: str, crossed: float, clear: float) -> None:
    rig = {"kind": kind, "station": "35 mm", "hook": {"gape": 12, "wire": 1.2}}
    metrics = _beads(rig)["metrics"]
    assert metrics["hook_clearance_mm"] == pytest.approx(clear, abs=1e-3)
    assert metrics["hook_hold_n"] == pytest.approx(crossed * (0.6 + 0.26 * 1.2), rel=1e-4)


@pytest.mark.parametrize(("kind", "station"), [
    ("texas", 33), ("jig_head", 33), ("wacky", 65), ("neko", 78), ("nose", 6),
])  # fmt: skip
def test_where_each_rig_crosses(kind: str, station: float) -> None:
    subject = Subject(asked("beaded_worm", {"length": 130}, rig={"kind": kind, "hook": {"shank": 33}}))
    assert subject.rig is not None
    assert subject.rig.station == pytest.approx(station)


def test_a_slot_gives_the_hook_less_to_cross() -> None:
    """The plastic between belly and the slot's floor is what is left; all of it counts for hold and clearance."""
    rig = {"kind": "texas", "station": 0.4}
    params = {"length": 130, "width": 12, "height": 12}
    whole = _answer("ribbed_worm", params, rig)["metrics"]
    slotted = {**params, "hook_slot": "back", "hook_slot_at": 30, "hook_slot_length": 20, "hook_slot_depth": 0.4}
    cut = _answer("ribbed_worm", slotted, rig)["metrics"]
    gone = cut["hook_clearance_mm"] - whole["hook_clearance_mm"]
    # A depth of 0.4 of the height where it is lowest, between the ribs.
    assert 0.4 * 9 < gone < 0.4 * 12
    crossed = whole["hook_hold_n"] / (0.6 + 0.26 * 1.2)
    assert cut["hook_hold_n"] == pytest.approx((crossed - gone) * (0.6 + 0.26 * 1.2), rel=1e-4)


def test_a_hook_in_a_trunk_of_several_strands() -> None:
    """A craw's carapace and what lies over it: no thinner than the trunk's own strand, no thicker than the bait."""
    subject = Subject(asked("craw", {}, rig={"kind": "texas", "station": 0.3}))
    assert len(subject.trunk_strands) > 1 and subject.hook is not None and subject.rig is not None
    assert 3 < subject.hook.crossed <= subject.size.max_height
    point, back = place_along(subject.trunk_strands, subject.rig.station)
    assert point[0] == pytest.approx(subject.rig.station)
    assert back[2] > 0.9


def test_the_mass_of_a_hook_by_its_wire() -> None:
    """Shank 38, point 0.45 of it, half a circle of (12 + 1.2) mm, an eye of three wires: 7.85 g/cm3."""
    length = 38 * 1.45 + math.pi * (13.2 / 2 + 3.6)
    hook = hook_of({"gape": 12, "shank": 38, "wire": 1.2})
    assert hook.mass == pytest.approx(math.pi / 4 * 1.44 * length * 7.85e-3)
    assert 0.5 < hook.mass < 1.5
    assert hook_of({"gape": 12, "shank": 38, "wire": 1.2, "mass_g": 2.5}).mass == 2.5


# Joints --------------------------------------------------------------------------------------------------------------


def _joint(answer: Answer, station: float) -> Answer:
    joint: Answer = min(answer["metrics"]["joints"], key=lambda each: abs(each["station_mm"] - station))
    return joint


def test_a_neck_that_is_hooked_loses_wire_times_depth() -> None:
    wire = 1.5
    rig = {"kind": "texas", "station": "38.75 mm", "hook": {"wire": wire}}
    bare, hooked = _beads(), _beads(rig)
    whole, net = _joint(bare, 38.75), _joint(hooked, 38.75)
    across = whole["equivalent_diameter_mm"]
    assert net["area_mm2"] == pytest.approx(whole["area_mm2"] - wire * across, rel=1e-4)
    assert net["pull_n"] / whole["pull_n"] == pytest.approx(net["area_mm2"] / whole["area_mm2"], rel=1e-5)
    assert _joint(hooked, 53.75)["pull_n"] == _joint(bare, 53.75)["pull_n"]


def test_a_jig_heads_shank_runs_through_the_necks_ahead_of_its_point() -> None:
    bare, hooked = _beads(), _beads({"kind": "jig_head", "station": "35 mm", "hook": {"wire": 1.5}})
    ahead, behind = 16.25, 53.75
    lost = _joint(bare, ahead)["area_mm2"] - _joint(hooked, ahead)["area_mm2"]
    assert lost == pytest.approx(math.pi / 4 * 1.5**2, rel=1e-3)
    assert _joint(hooked, behind)["area_mm2"] == _joint(bare, behind)["area_mm2"]


def test_a_rig_asks_less_behind_its_hook() -> None:
    """All of 15 N (7 to 12 mm) to 10 mm past the hook, 40 % of it behind; with a wacky hook at both ends."""
    texas = _beads({"kind": "texas", "station": "35 mm"})["metrics"]["joints"]
    for joint in texas:
        assert joint["limit_n"] == (15 if joint["station_mm"] <= 45 else 6)
    wacky = _beads({"kind": "wacky"})["metrics"]["joints"]
    for joint in wacky:
        assert joint["limit_n"] == (15 if 55 <= joint["station_mm"] <= 75 else 6)
    own = _beads({"kind": "texas", "station": "35 mm"}, require={"joint_pull_n": 20})["metrics"]["joints"]
    assert {joint["limit_n"] for joint in own} == {20, 20 * BEYOND_THE_HOOK}
    assert {joint["limit_n"] for joint in _beads()["metrics"]["joints"]} == {15}


def test_joints_stronger_than_the_hook_are_named() -> None:
    answer = _beads({"kind": "texas", "station": "35 mm"})
    check, hold = _checks(answer)["hook_tear_out"], answer["metrics"]["hook_hold_n"]
    stronger = [joint["joint"] for joint in answer["metrics"]["joints"] if joint["pull_n"] > hold]
    assert check["where"]["stronger_joints"] == stronger != []
    assert "hold more than that, which buys nothing" in check["text"]
    assert "judgement" in check["text"]


# Checks and remedies -------------------------------------------------------------------------------------------------


def test_a_thin_soft_bait_tears_off_and_a_firmer_one_holds() -> None:
    rig = {"kind": "texas"}
    check = _checks(_answer("beaded_worm", {"length": 100, "bead_diameter": 5, "bead_count": 26}, rig))["hook_tear_out"]
    assert check["verdict"] != "pass" and check["limit"] == 5
    assert any("plastic" in remedy["text"] for remedy in check["remedies"])
    for remedy in check["remedies"]:
        assert remedy["gives"] >= 1.1 * 5


def test_no_hook_is_offered_that_nobody_makes() -> None:
    """Common practice, no source: wires run from a fifteenth to an eighth of the gape; 2.65 mm would be a third."""
    thin = {"length": 140, "width": 22}
    for gape, stouter in ((8, False), (20, True)):
        rig = {"kind": "nose", "hook": {"gape": gape, "shank": 12, "wire": 0.8}}
        check = _checks(_answer("leech", thin, rig))["hook_tear_out"]
        assert check["verdict"] == "fail"
        wires = [each["patch"]["rig"]["hook"]["wire"] for each in check["remedies"] if "wire" in each["text"]]
        assert bool(wires) is stouter and all(wire <= gape / 7 for wire in wires)
        assert any("plastic" in each["text"] for each in check["remedies"])


def test_a_small_gape_is_told_and_mended() -> None:
    rig = {"kind": "texas", "hook": {"gape": 9}, "station": "35 mm"}
    check = _checks(_beads(rig))["hook_clearance"]
    assert check["verdict"] == "fail"
    assert check["text"] == (
        "The plastic fills a gape of 9 mm and 1 mm more: the point does not come out, and 3 mm clear are asked."
    )
    (remedy,) = check["remedies"]
    assert remedy["patch"] == {"rig": {"hook": {"gape": 13.0}}}
    assert remedy["text"] == "a hook of 13 mm gape: 3 mm clear"


def test_limits_of_ones_own_and_silence() -> None:
    rig = {"kind": "texas", "hook": {"gape": 11}, "station": "35 mm"}
    checks = _checks(_beads(rig, checks={"hook_clearance": {"limit": 0.9}, "hook_tear_out": {"silence": True}}))
    assert checks["hook_clearance"]["verdict"] == "pass"
    assert checks["hook_tear_out"]["silenced"]


# Requests ------------------------------------------------------------------------------------------------------------


def test_a_rig_is_part_of_the_bait_and_its_defaults_are_written() -> None:
    bare, rigged = asked("stick_worm", {}), asked("stick_worm", {}, rig={})
    assert "rig" not in bare.normal and bare.id != rigged.id
    assert rigged.normal["rig"] == {"kind": "texas", "hook": {"gape": 12.0, "shank": 38.0, "wire": 1.2}, "weights": []}
    written = asked("stick_worm", {}, rig={"kind": "texas", "hook": {"gape": "0.472440945 in", "wire": "1.2 mm"}})
    assert written.id == rigged.id
    assert bare.normal["water"] == {"temperature_c": 20.0, "salinity": 35.0}
    assert asked("stick_worm", {}, water={"temperature_c": 20}).id == bare.id


@pytest.mark.parametrize(("rig", "pointer"), [
    ({"kind": "carolina"}, "/rig/kind"),
    ({"hook": {"gape": 100}}, "/rig/hook/gape"),
    ({"hook": {"size": 4}}, "/rig/hook/size"),
    ({"weights": [{"mass_g": 3}, {"mass_g": 0}]}, "/rig/weights/1/mass_g"),
    ({"weights": [{"material": "gold"}]}, "/rig/weights/0/material"),
    ({"weights": [{}] * 9}, "/rig/weights"),
    ({"station": 1.5}, "/rig/station"),
    (None, "/rig"),
])  # fmt: skip
def test_faults_of_a_rig(rig: Any, pointer: str) -> None:
    with pytest.raises(InvalidRequest) as refused:
        asked("stick_worm", {}, rig=rig)
    assert [fault.pointer for fault in refused.value.faults] == [pointer]


@pytest.mark.parametrize(("rig", "pointer"), [
    ({"hook": {"shank": 120}}, "/rig/hook/shank"),
    ({"kind": "wacky", "station": "120 mm"}, "/rig/station"),
    ({"kind": "nose", "station": 0.6}, "/rig/station"),
    ({"kind": "wacky", "weights": [{}, {"station": "5 in"}]}, "/rig/weights/1/station"),
])  # fmt: skip
def test_a_rig_that_does_not_fit_the_bait(rig: Answer, pointer: str) -> None:
    with pytest.raises(InfeasibleRequest) as refused:
        asked("stick_worm", {"length": 100}, rig=rig)
    (fault,) = refused.value.faults
    assert fault.pointer == pointer
    assert fault.allowed["maximum"] == (50 if "past the middle" in fault.detail else 100)
    assert "100 mm" in fault.detail


def test_the_open_form_takes_a_rig_too() -> None:
    told = {
        "strands": [{"name": "rod", "kind": "trunk", "path": {"length": 100}, "girth": [{"at": 0, "width": 8}]}],
        "rig": {"kind": "texas", "hook": {"gape": 12}},
    }
    metrics = estimate(read_request(json.loads(json.dumps(told))))["metrics"]
    assert metrics["hook_clearance_mm"] == pytest.approx(4)
    assert metrics["fresh_water"]["rigged"]["net_mass_g"] > 0


def test_a_hook_in_a_bent_trunk_crosses_square_to_it() -> None:
    """Along a curved path the wire goes from belly to back of the section there, wherever that points."""
    told = {
        "strands": [
            {
                "name": "bow",
                "kind": "trunk",
                "path": {"points": [[0, 0, 0], [40, 0, 14], [80, 0, 0]]},
                "girth": [{"at": 0, "width": 8, "height": 6}],
            }
        ],
        "rig": {"kind": "wacky"},
    }
    subject = Subject(read_request(told))
    assert subject.hook is not None
    assert subject.hook.crossed == pytest.approx(6, abs=1e-6)
