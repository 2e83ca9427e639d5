"""Dresses on worms: what they change, what they leave, and what is refused with a value that would do."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from tests.dress.drawn_dress import dressed_bodies
from tests.property.drawn import Body, for_all, merged
from tests.tails.drawn_tails import worm, worm_params
from worker.build import build
from worker.errors import InfeasibleRequest
from worker.estimate import estimate
from worker.measures.strand.hollows import taken_out
from worker.request import read_request
from worker.solid.join import joined
from worker.styles import STYLES
from worker.styles.dress_feasible import LEAST_FLOOR, LEAST_WALL

THICK: Body = {"bead_diameter": 14, "bead_count": 16}


def faults(style: str = "beaded_worm", **changes: object) -> dict[str, Any]:
    """Faults by their code."""
    return {each.code: each for each in STYLES[style].infeasible(worm_params(style, **changes))}


def hollows(style: str = "beaded_worm", **changes: object) -> tuple[Any, ...]:
    """What is taken out of such a worm."""
    return STYLES[style].hollows(worm_params(style, **changes))


def test_a_plain_worm_wears_nothing() -> None:
    for style in ("beaded_worm", "jointed_worm", "ribbed_worm"):
        (trunk,) = worm(style)
        assert trunk.zones == () and trunk.section.floor is None
        assert hollows(style) == ()


@pytest.mark.parametrize("end", ["nose", "tail"])
def test_a_bore_leaves_a_bait_as_long_as_it_is(end: str) -> None:
    """Its mouth would cut a round end short; the end is given a flat face around it."""
    dress = {"weight_bore": 4, "weight_bore_end": end, **THICK}
    solid = joined(worm(**dress), 0.02, hollows(**dress))
    assert solid.extent[0] == pytest.approx(127, abs=1e-4)
    assert (len(solid.parts), solid.through_holes) == (1, 0)


def test_a_flat_belly_lies_level() -> None:
    solid = joined(worm(flat_belly=0.2, **THICK), 0.02)
    lowest = solid.vertices[:, 2].min()
    assert lowest == pytest.approx(-7 + 0.2 * 14, abs=1e-4)
    level = solid.vertices[solid.vertices[:, 2] < lowest + 1e-4]
    assert level[:, 0].max() - level[:, 0].min() > 110
    # A circle's segment above a chord 4.2 mm below its middle, at a bead's crest.
    half = math.sqrt(49 - 4.2**2)
    segment = 49 * (math.pi - math.acos(4.2 / 7)) + 4.2 * half
    (trunk,) = worm(flat_belly=0.2, **THICK)
    crest = trunk.body.side.crest_x[5:6]
    assert trunk.body.area(crest)[0] == pytest.approx(segment, rel=1e-6)


def test_a_smooth_nose_ends_on_a_bead() -> None:
    (plain,), (bait,) = worm(), worm(nose_smooth=30)
    assert bait.zones[0].end in plain.body.side.crest_x
    assert abs(bait.zones[0].end - 0.3 * 127) < 7
    (ribbed,) = worm("ribbed_worm", nose_smooth=10)
    assert ribbed.zones[0].end == pytest.approx(12.7), "ahead of the first rib there is nothing to end on"


@pytest.mark.parametrize(("head", "longer"), [("blunt", False), ("bullet", True)])
def test_heads_are_blunter_and_sharper_than_round(head: str, longer: bool) -> None:
    def across(bait: Any) -> float:
        return float(bait.body.side.height(np.array([3.0]))[0])

    assert (across(worm("ribbed_worm", head=head)[0]) < across(worm("ribbed_worm")[0])) == longer
    flat = worm("ribbed_worm", head="flat")[0]
    assert flat.body.side.height(np.array([0.0]))[0] == pytest.approx(4.1, abs=1e-3)


def test_an_egg_band_lies_from_one_rib_to_another_and_stands_out() -> None:
    (bait,) = worm("ribbed_worm", egg_band=12, egg_band_height=1.0, egg_band_at=40)
    (band,) = bait.zones
    assert (band.begin + band.end) / 2 == pytest.approx(0.4 * 127, abs=1.5)
    middle = np.array([(band.begin + band.end) / 2])
    plain = worm("ribbed_worm")[0].smooth.side.height(middle)[0]
    assert bait.body.side.height(middle)[0] == pytest.approx(plain + 1.0)
    steps = np.array([band.begin, band.end])
    before, after = (bait.body.side.height_beside(steps, later=later) for later in (False, True))
    assert before == pytest.approx(after, abs=1e-6), "no step where the band begins and ends"


@pytest.mark.parametrize(
    ("asked", "code", "pointer"),
    [
        ({"jig_bore": 0.5}, "too-small", "/params/jig_bore"),
        ({"eye": 1.0}, "too-small", "/params/eye"),
        ({"egg_band": 3}, "too-small", "/params/egg_band"),
        ({"bead_diameter": 5, "bead_count": 40, "weight_bore": 3}, "wall-too-thin", "/params/weight_bore"),
        ({"hook_slot": "back", "hook_slot_depth": 0.8}, "slot-too-deep", "/params/hook_slot_depth"),
        ({"hook_slot": "back", "hook_slot_at": 80, "hook_slot_length": 40}, "slot-outside", "/params/hook_slot_length"),
        ({"rattle_pocket": 3, "weight_bore": 2, "weight_bore_end": "tail"}, "end-taken", "/params/rattle_pocket"),
        ({"rattle_pocket": 3, "tail": "spike"}, "end-taken", "/params/rattle_pocket_end"),
        ({"jig_bore": 1, "weight_bore": 2}, "end-taken", "/params/weight_bore"),
        ({"jig_bore": 2, "jig_bore_length": 40, "hook_slot": "back", **THICK}, "hollows-meet", "/params/hook_slot_at"),
        ({"eye": 8}, "eye-too-wide", "/params/eye"),
        ({"egg_band": 20, "egg_band_at": 10, "head": "bullet"}, "band-outside", "/params/egg_band_at"),
        ({"flat_belly": 0.4, "tail": "beaver"}, "root-too-thick", "/params/tail_wrist"),
    ],
)
def test_what_cannot_be_is_told(asked: Body, code: str, pointer: str) -> None:
    with pytest.raises(InfeasibleRequest) as refused:
        read_request({"style": "beaded_worm", "params": asked})
    told = {(fault.code, fault.pointer): fault.detail for fault in refused.value.faults}
    detail = told[code, pointer]
    assert detail.endswith(".") and detail[0].isupper()


@pytest.mark.parametrize(
    "asked",
    [
        {"hook_slot": "back", "hook_slot_depth": 0.8},
        {"hook_slot": "belly", "hook_slot_depth": 0.8, **THICK},
        {"hook_slot": "back", "hook_slot_at": 60, "hook_slot_length": 40, **THICK},
        {"bead_diameter": 6, "bead_count": 34, "weight_bore": 4},
        {"bead_diameter": 7, "bead_count": 30, "rattle_pocket": 6},
    ],
)
def test_what_is_allowed_instead_does(asked: Body) -> None:
    (fault,) = faults(**asked).values()
    name = fault.pointer.rpartition("/")[2]
    assert faults(**{**asked, name: fault.allowed["maximum"]}) == {}
    assert fault.allowed["maximum"] < float(worm_params(**asked)[name])


@pytest.mark.parametrize("style", ["grub", "paddle_tail"])
def test_a_level_belly_leaves_no_root_standing_out(style: str) -> None:
    """What the refusal says would do is a bait on whose belly nothing stands out, and whose slot nothing bridges."""
    with pytest.raises(InfeasibleRequest) as refused:
        read_request({"style": style, "params": {"flat_belly": 0.4}})
    (fault,) = refused.value.faults
    assert (fault.pointer, fault.code) == ("/params/flat_belly", "belly-too-flat")
    most = fault.allowed["maximum"]
    assert 0.1 < most < 0.4
    request = read_request({"style": style, "params": {"flat_belly": most, "hook_slot": "belly"}, "tolerance_mm": 0.02})
    strands = STYLES[style].strands(request.normal["params"])
    solid = joined(strands, request.tolerance, STYLES[style].hollows(request.normal["params"]))
    assert (len(solid.parts), solid.through_holes) == (1, 0)
    on_body = solid.vertices[:, 0] < strands[1].path.frames(np.array([strands[1].root.leaves]))[0][0, 0]
    assert float(solid.vertices[on_body, 2].min()) >= -strands[0].section.floor - request.tolerance


@pytest.mark.parametrize(
    ("style", "params"), [("tube", {"eye": 4, "eye_at": 2.5}), ("stick_worm", {"eye": 3, "eye_at": 1})]
)
def test_eyes_stay_within_the_rim_of_the_nose(style: str, params: Body) -> None:
    with pytest.raises(InfeasibleRequest) as refused:
        read_request({"style": style, "params": params})
    (fault,) = refused.value.faults
    assert (fault.pointer, fault.code) == ("/params/eye_at", "eye-outside")
    least = fault.allowed["minimum"]
    taken = read_request({"style": style, "params": {**params, "eye_at": least}})
    length = taken.normal["params"]["length"]
    assert least / 100 * length - params["eye"] / 2 >= LEAST_WALL
    assert (least - 1) / 100 * length - params["eye"] / 2 < LEAST_WALL


@pytest.mark.parametrize("style", ["grub", "paddle_tail"])
def test_where_a_tail_grows_everything_opens_at_the_nose(style: str) -> None:
    declared = {parameter.name for parameter in STYLES[style].parameters}
    assert not declared & {"weight_bore_end", "rattle_pocket_end"}
    for asked in ({"weight_bore": 2}, {"rattle_pocket": 3}):
        request = read_request({"style": style, "params": {**asked, "hook_slot": "none"}})
        (bore,) = STYLES[style].hollows(request.normal["params"])
        assert bore.path.frames(np.array([0.0]))[0][0, 0] < 0, "it begins ahead of the nose"


@pytest.mark.parametrize("side", ["back", "belly"])
def test_below_a_slot_and_around_a_bore_enough_is_left(side: str) -> None:
    dress = {"hook_slot": side, "hook_slot_depth": 0.7, "weight_bore": 4, **THICK}
    solid = joined(worm(**dress), 0.02, hollows(**dress))
    x, y, z = solid.vertices.T
    bottom = z[(np.abs(y) < 0.5) & (np.abs(x - 48) < 17) & (np.abs(z) < 5)] * (1 if side == "back" else -1)
    neck = float(worm(**THICK)[0].body.side.gaps.height.min())
    assert LEAST_FLOOR - 0.05 <= float(bottom.min()) + neck < 5
    assert neck - 2 >= LEAST_WALL


def test_a_slot_makes_the_joints_it_crosses_weaker_and_is_offered_shallower() -> None:
    def pull(**dress: object) -> Any:
        return estimate(read_request({"style": "beaded_worm", "params": {**THICK, **dress}}))

    plain, slotted = pull(), pull(hook_slot="back")
    areas = [[joint["area_mm2"] for joint in each["metrics"]["joints"]] for each in (plain, slotted)]
    weaker = [after < before - 1 for before, after in zip(*areas, strict=True)]
    assert any(weaker) and not all(weaker)


@for_all(dressed_bodies(), quick=5, proof=300)
def test_every_dress_that_is_taken_gives_a_sound_bait(body: Body) -> None:
    request = read_request(body)
    before, built = estimate(request), build(request)
    metrics, tolerance = built.metrics, request.normal["tolerance_mm"]
    assert metrics["length_mm"] == pytest.approx(request.params["length"], abs=tolerance)
    assert metrics["through_holes"] == 0
    assert metrics["pieces"] == before["metrics"]["pieces"]
    assert metrics["volume_mm3"] == pytest.approx(before["metrics"]["volume_mm3"], rel=0.01)
    assert metrics["joints"] == before["metrics"]["joints"]
    for check in before["checks"]:
        for remedy in check["remedies"]:
            mended = estimate(read_request(merged(body, dict(remedy["patch"]))))
            verdicts = {each["check"]: each["verdict"] for each in mended["checks"]}
            assert verdicts[check["check"]] == "pass", (check["check"], remedy)


@pytest.mark.parametrize("style", ["paddle_tail", "stick_worm", "beaded_worm"])
def test_the_skin_of_a_slot_is_the_meshes(style: str) -> None:
    """Walls and bottom of the slot less the skin that it opens, told by arithmetic, against the mesh; within 2 %."""
    more = THICK if style == "beaded_worm" else {}
    request = read_request({"style": style, "params": {**more, "hook_slot": "belly"}, "tolerance_mm": 0.02})
    params = request.normal["params"]
    strands, slots = STYLES[style].strands(params), STYLES[style].hollows(params)
    plain, slotted = (joined(strands, 0.02, each) for each in ((), slots))
    assert taken_out(slots, strands)[1] == pytest.approx(slotted.surface - plain.surface, rel=0.02)
