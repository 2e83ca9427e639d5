"""What must not meet in one mould: pins, cavities, the injector's seat, walls."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import Any

import numpy as np
import pytest
import trimesh

from tests.mould.moulded import WORM
from worker.checks.subject import Subject
from worker.mould import mould_of
from worker.mould.checks import check_mould
from worker.mould.checks.filling import vent
from worker.mould.checks.parts import wall
from worker.mould.mould import Mould
from worker.request import read_request
from worker.solid.join import joined

BOTH_ENDS: dict[str, Any] = {
    "style": "stick_worm",
    "params": {"length": 120, "girth": 12, "jig_bore": 3, "weight_bore": 3, "weight_bore_end": "tail"},
    "detail": "coarse",
}
COARSE: dict[str, Any] = {**WORM, "detail": "coarse"}


def moulded(request_: dict[str, Any], **mould: Any) -> tuple[Mould, dict[str, dict[str, Any]]]:
    """A mould, and the answers to its checks by name."""
    request = read_request({**request_, "mould": mould})
    subject = Subject(request)
    made = mould_of(subject, joined(subject.strands, request.tolerance, subject.hollows))
    assert made is not None
    return made, {each.check: each.describe() for each in check_mould(subject, made)}


@pytest.mark.parametrize(
    "mould",
    [{"cavities": 4}, {"cavities": 3, "gate_at": "tail"}, {"cavities": 2, "gate_at": "nose"}, {"gate_at": "tail"}, {}],
)
def test_no_pin_crosses_another_cavity_or_the_runner(mould: dict[str, Any]) -> None:
    """The straight way out of each pin keeps off every other cavity and off the sprue."""
    made, answers = moulded(BOTH_ENDS, kind="injected_with_core", **mould)
    plan = made.plan
    assert plan is not None and plan.gating is not None and made.pins
    ways = [(placed, pin) for placed in plan.placed for pin in made.pins]
    for placed, pin in ways:
        begin, end = placed.points(np.array([pin.mouth, pin.support]))
        others = [other.points(made.cavity.vertices)[:, :2] for other in plan.placed if other is not placed]
        for points in [*others, np.array([plan.gating.sprue.at])]:
            assert _off(points, begin, end) > pin.radius + 1
    few = mould.get("cavities", 1) <= 2
    assert (answers["core"]["verdict"] == "pass") == few
    assert [pin.end for pin in made.pins].count("tail") == 1
    if not few:
        assert "jig bore would cross another cavity" in answers["core"]["text"]


def _off(points: np.ndarray[Any, Any], begin: np.ndarray[Any, Any], end: np.ndarray[Any, Any]) -> float:
    """Least distance of points, (n, 2), from the ray out of `begin` through `end`."""
    way = (end - begin) / np.hypot(*(end - begin))
    ahead = np.maximum((points - begin) @ way, 0.0)
    return float(np.hypot(*(points - begin - ahead[:, None] * way).T).min())


def test_pins_are_no_remedy_where_they_cannot_all_stand() -> None:
    for cavities, offered in ((1, True), (4, False)):
        _, answers = moulded(BOTH_ENDS, cavities=cavities)
        texts = [remedy["text"] for remedy in answers["undercut"]["remedies"]]
        assert ("core pins" in texts) is offered


@pytest.mark.parametrize("thick", [4, 8])
def test_the_widest_nozzle_sits_within_the_block_and_off_the_cavities(thick: float) -> None:
    """A nozzle 30 mm wide on a thin bait: its seat keeps 4 mm (judgement) to the cavities, and its walls."""
    made, _ = moulded({"style": "leech", "detail": "coarse"}, nozzle=30, wall=thick)
    plan = made.plan
    assert plan is not None and plan.gating is not None
    sprue, block = plan.gating.sprue, plan.block
    assert block.low[1] <= sprue.at[1] - 15 - thick and sprue.at[1] + 15 + thick <= block.high[1]
    for placed in plan.placed:
        points = placed.points(made.cavity.vertices)[:, :2]
        assert np.hypot(*(points - np.array(sprue.at)).T).min() >= 15 + 4


def test_the_cavity_with_the_most_extremities_without_a_vent_answers() -> None:
    made, answers = moulded(COARSE, cavities=2)
    assert answers["vent"]["verdict"] == "pass" and made.plan is not None
    first, second = made.plan.vents
    blocked = replace(made, plan=replace(made.plan, vents=[first, [(tip, None) for tip, _ in second]]))
    answer = vent(blocked)
    assert answer is not None and answer.where is not None
    assert (answer.verdict, answer.value, answer.where["cavity"]) == ("fail", len(second), 2)
    assert "of cavity 2" in answer.text


@pytest.mark.parametrize("mould", [{"cavities": 4}, {"cavities": 4, "gate_at": "nose"}])
def test_rows_keep_off_the_spine_by_their_meshes_themselves(mould: dict[str, Any]) -> None:
    """By vertices, as the checks have it, and not by columns, which lie up to their distance further in."""
    made, _ = moulded(COARSE, **mould)
    plan = made.plan
    assert plan is not None and plan.gating is not None
    off = max(plan.gating.sprue.reach, plan.gating.channels.runner_radius) + 4
    for placed in plan.placed:
        assert np.abs(placed.points(made.cavity.vertices)[:, 1]).min() >= off - 1e-9


@pytest.mark.parametrize(
    "mould", [{"cavities": 4, "gate_at": "nose"}, {"cavities": 4}, {"kind": "open_pour", "cavities": 3}]
)
def test_the_wall_asked_for_stands_between_cavities_too(mould: dict[str, Any]) -> None:
    made, answers = moulded(COARSE, wall=20, material="silicone", **mould)
    assert made.plan is not None
    plans = [placed.points(made.cavity.vertices)[:, :2] for placed in made.plan.placed]
    boxes = [(plan.min(axis=0), plan.max(axis=0)) for plan in plans]
    for (low, high), (other_low, other_high) in combinations(boxes, 2):
        assert np.maximum(other_low - high, low - other_high).max() >= 20 - 1e-9
    assert answers["wall"]["verdict"] == "pass"


def test_a_wall_between_cavities_under_what_is_asked_is_told() -> None:
    """Two cavities moved to 9 mm of each other where 20 are asked for."""
    made, _ = moulded(COARSE, wall=20, kind="open_pour", cavities=2)
    assert made.plan is not None
    first, second = made.plan.placed
    wide = float(np.ptp(made.cavity.vertices[:, 1]))
    near = replace(made, plan=replace(made.plan, placed=[first, replace(second, dy=first.dy + wide + 9)]))
    answer = wall(near)
    assert answer is not None and answer.where is not None
    assert (answer.verdict, answer.limit, answer.where["place"]) == ("caution", 20, "between cavities")
    assert answer.value == pytest.approx(9, abs=1e-5)


def test_what_stands_over_an_open_face_is_a_share_of_the_exact_volume() -> None:
    """Of a mesh, by the divergence theorem, as another reader has it; columns miss it by a part in a thousand."""
    made, answers = moulded(COARSE, kind="open_pour", parting={"turn_deg": 0, "height": 1})
    mesh = trimesh.Trimesh(made.cavity.vertices, made.cavity.triangles, process=False)
    assert made.cavity.net_volume == pytest.approx(mesh.volume, rel=1e-9)
    expected = 1 - made.figures.cavity_volume / mesh.volume
    assert answers["open_face"]["value"] == pytest.approx(expected, rel=1e-5)
