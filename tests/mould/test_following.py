"""Moulds whose face follows the bait: halves that meet, one piece each, flat where they are bolted, vents on slopes."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np
import pytest

from tests.mould.moulded import WORM, built, check, closed_up, part, shared
from worker.checks.subject import Subject
from worker.errors import InfeasibleRequest, InvalidRequest
from worker.mould import mould_of
from worker.mould.mould import Mould
from worker.mould.vents import Vent
from worker.request import read_request
from worker.solid.join import joined
from worker.solid.solid import Solid

LIZARD: dict[str, Any] = {"style": "lizard", "detail": "coarse"}
"""Its legs go down from the plane that its trunk and tail lie in."""


@cache
def lizard(**mould: Any) -> Mould:
    request = read_request({**LIZARD, "mould": mould})
    subject = Subject(request)
    made = mould_of(subject, joined(subject.strands, request.tolerance, subject.hollows))
    assert made is not None
    return made


def heights(solid: Solid, place: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Where an upright line goes through a mesh, mm."""
    a, b, c = (solid.vertices[solid.triangles[:, corner]] for corner in range(3))

    def side(one: np.ndarray[Any, Any], other: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
        return (other[:, 0] - one[:, 0]) * (place[1] - one[:, 1]) - (other[:, 1] - one[:, 1]) * (place[0] - one[:, 0])

    weights = np.stack([side(b, c), side(c, a), side(a, b)])
    met = ((weights >= 0).all(axis=0) | (weights <= 0).all(axis=0)) & (np.abs(weights.sum(axis=0)) > 1e-12)
    share = weights[:, met] / weights[:, met].sum(axis=0)
    found: np.ndarray[Any, Any] = share[0] * a[met, 2] + share[1] * b[met, 2] + share[2] * c[met, 2]
    return found


def test_a_lizard_comes_out_of_a_face_that_follows_its_legs() -> None:
    flat, bait = built(LIZARD, parting={"form": "flat"}), built(LIZARD)
    assert [check(flat, name)["verdict"] for name in ("undercut", "trapped")] == ["fail", "fail"]
    for name in ("undercut", "trapped", "island", "vent", "wall"):
        assert check(bait, name)["verdict"] == "pass", check(bait, name)["text"]
    told = bait.metrics["mould"]
    assert told["parting"]["form"] == "following"
    assert 0 < told["parting"]["steepest_deg"] <= 60
    assert told["balance"] < 1e-6


def test_its_halves_are_closed_one_piece_each_and_do_not_overlap() -> None:
    """By another reader of the files."""
    bait = built(LIZARD, fastening="clamps")
    lower, upper = part(bait, "mould_lower"), closed_up(part(bait, "mould_upper"))
    for half in (lower, upper):
        assert half.is_watertight
        assert half.body_count == 1
    assert shared(lower, upper) < 1e-3
    assert upper.bounds[0][2] < -2, "the upper half reaches down to the legs"


@pytest.mark.parametrize("cavities", [1, 3])
def test_the_face_is_flat_under_all_that_is_not_the_bait(cavities: int) -> None:
    """Bolts, dowels, the sprue, runners and gates, the numbers, the rim: no patch reaches them, or it is at 0 there."""
    made = lizard(cavities=cavities)
    plan, face = made.plan, made.cavity.face
    assert plan is not None and plan.gating is not None and face is not None
    boxes = [np.sort(placed.points(face.box), axis=0) for placed in plan.placed]
    assert all((box[0] > plan.block.low[:2]).all() and (box[1] < plan.block.high[:2]).all() for box in boxes)
    for number, box in enumerate(boxes):
        for other in boxes[:number]:
            assert np.maximum(other[0] - box[1], box[0] - other[1]).max() > 0, "patches lie apart"
    for box, placed in zip(boxes, plan.placed, strict=True):
        for place in (*plan.block.bolts, *plan.block.dowels, plan.gating.sprue.at):
            assert np.maximum(box[0] - place, place - box[1]).max() > 4
        nodes = face.points(placed).reshape(-1, 3)
        for begin, end in plan.gating.channels.runners:
            along = np.linspace(begin, end, 60)
            radius = plan.gating.channels.runner_radius
            near = np.hypot(*(nodes[:, None, :2] - along[None]).transpose(2, 0, 1)).min(axis=1) < radius
            assert np.abs(nodes[near, 2]).max(initial=0.0) == 0
        for text, at in plan.plates:
            near = (np.abs(nodes[:, :2] - at) < (2.0 * len(text), 3.0)).all(axis=1)
            assert np.abs(nodes[near, 2]).max(initial=0.0) == 0


def test_a_vent_on_a_slope_is_as_deep_along_the_draw_as_on_the_flat() -> None:
    """Between the halves, measured on their meshes: the land 0.10 mm of aluminium's vents, its escape 0.5 mm."""
    made = lizard()
    assert made.plan is not None
    sloped = 0
    for tip, vent in made.plan.vents[0]:
        assert isinstance(vent, Vent)
        begin, land = np.array(vent.begin), np.array(vent.land_end)
        way = (land - begin) / np.hypot(*(land - begin))
        for ahead, deep in ((1.4, 0.1), (2.0, 0.1), (3.5, 0.5), (5.0, 0.5)):
            floor = heights(made.parts["lower"], begin + ahead * way).max()
            roof = heights(made.parts["upper"], begin + ahead * way).min()
            assert roof - floor == pytest.approx(deep, abs=0.006), tip.strand
            sloped += abs(roof) > 0.5
    assert sloped >= 8, "four legs end below the plane"


def test_a_slope_of_45_degrees_leaves_of_a_vent_what_a_low_one_is() -> None:
    """Square to a face of slope t a gap is as wide as cos t of what it is along the draw: at 45 degrees 0.707."""
    from worker.values.mould_materials import MOULD_MATERIALS

    for material in MOULD_MATERIALS.values():
        assert material.vent.typical * math.cos(math.radians(45)) >= material.vent.low * (1 - 1e-9)


def test_flat_stays_flat_where_that_draws() -> None:
    assert built(WORM).metrics["mould"]["parting"]["form"] == "flat"
    asked = built(WORM, parting={"form": "following"})
    assert asked.metrics["mould"]["parting"]["form"] == "following"
    assert check(asked, "undercut")["verdict"] == "pass"
    assert asked.metrics["mould"]["cavity_volume_mm3"] == built(WORM).metrics["mould"]["cavity_volume_mm3"]


def test_the_same_request_gives_the_same_bytes() -> None:
    request = read_request({**LIZARD, "mould": {}})
    subject = Subject(request)
    again = mould_of(subject, joined(subject.strands, request.tolerance, subject.hollows))
    assert again is not None
    for name, half in lizard().parts.items():
        assert half.vertices.tobytes() == again.parts[name].vertices.tobytes()
        assert half.triangles.tobytes() == again.parts[name].triangles.tobytes()


@pytest.mark.parametrize("kind", ["open_pour", "dipped"])
def test_one_part_has_no_face_that_follows(kind: str) -> None:
    tube = {"style": "tube", "detail": "coarse"}
    with pytest.raises(InfeasibleRequest) as caught:
        read_request({**tube, "mould": {"kind": kind, "parting": {"form": "following"}}})
    (fault,) = caught.value.faults
    assert (fault.pointer, fault.code, fault.allowed) == (
        "/mould/parting/form",
        "no-second-half",
        {"choices": ["auto", "flat"]},
    )


def test_what_is_left_out_of_parting_is_its_default() -> None:
    def parting(**members: Any) -> Any:
        return read_request({**WORM, "mould": {"parting": members}}).normal["mould"]["parting"]

    searched = {"form": "auto", "steepest_deg": 60}
    assert parting() == searched == read_request({**WORM, "mould": {}}).normal["mould"]["parting"]
    assert parting(turn_deg=90) == {**searched, "turn_deg": 90, "height": 0}
    assert parting(height=1, form="flat") == {**searched, "form": "flat", "turn_deg": 0, "height": 1}
    with pytest.raises(InvalidRequest) as caught:
        parting(form="wavy", steepest_deg=85)
    assert {fault.pointer for fault in caught.value.faults} == {
        "/mould/parting/form",
        "/mould/parting/steepest_deg",
    }


def test_pins_keep_the_face_flat_along_their_shanks() -> None:
    """A bent bait with a weight bore: the shank lies on the plane, and the face beside it does too."""
    request = read_request(
        {
            **LIZARD,
            "params": {"weight_bore": 2},
            "mould": {"kind": "injected_with_core", "parting": {"form": "following", "turn_deg": 0}},
        }
    )
    subject = Subject(request)
    made = mould_of(subject, joined(subject.strands, request.tolerance, subject.hollows))
    assert made is not None and made.pins and made.cavity.face is not None
    for pin in made.pins:
        away = np.sign(pin.support[0] - pin.mouth[0])
        x = pin.mouth[0] + away * np.linspace(0.5, 6, 12)
        for beside in (-pin.radius, 0.0, pin.radius):
            assert np.abs(made.cavity.face.at(x, np.full(12, pin.mouth[1] + beside))).max() == 0


def test_a_mould_of_several_cavities_balances() -> None:
    made = lizard(cavities=3)
    assert made.balance < 1e-6
    for half in made.parts.values():
        assert len(half.parts) == 1


@pytest.mark.parametrize("height", [None, 6, -4])
def test_the_land_lies_where_the_silhouette_of_a_tilted_rod_does(height: float | None) -> None:
    """A rod of 4 mm about an axis that rises by 12 mm over 60: seen along z its silhouette is as high as its axis. The
    land at the gate lies there whatever plane is asked for; it lay in that plane, 6 mm over the plastic.
    """
    rod: dict[str, Any] = {
        "strands": [
            {
                "name": "body",
                "kind": "trunk",
                "path": {"points": [[0, 0, -6], [30, 0, 0], [60, 0, 6]]},
                "girth": [{"at": at, "width": 8} for at in (0, 1)],
            }
        ],
        "detail": "coarse",
    }
    parting: dict[str, Any] = {"form": "following"}
    if height is not None:
        parting |= {"turn_deg": 0, "height": height}
    request = read_request({**rod, "mould": {"parting": parting}})
    subject = Subject(request)
    made = mould_of(subject, joined(subject.strands, request.tolerance))
    assert made is not None and made.plan is not None and made.plan.gating is not None
    frame, feed = made.cavity.frame, made.plan.gating.feed
    assert feed.side in ("left", "right")
    along = -feed.x if feed.side == "right" else feed.x
    axis = (along / frame.growth - 30) * 0.2
    # A section of 8 mm is as wide as at its silhouette, but for 0.05 mm, up to sqrt(4^2 - 3.95^2) = 0.63 mm off it.
    assert frame.height == pytest.approx(axis, abs=0.06 if height else 0.63)
    assert sum(half.area for half in made.cavity.undercuts) == 0
    assert made.balance < 1e-6
