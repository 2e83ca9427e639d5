"""What a craw wears of the dress: a smooth nose, a flat belly, a hook slot along its core."""

from __future__ import annotations

import numpy as np
import pytest

from tests.craw.drawn_craws import craw, craw_params, named
from worker.estimate import estimate
from worker.request import read_request
from worker.solid.join import joined
from worker.strands.strand import Strand
from worker.styles.craw import CRAW

LIMBLESS = {"feelers": 0, "leg_pairs": 0, "tail_fan": 0}


def faults(**changes: object) -> dict[str, object]:
    """What a fault allows, by its pointer and code."""
    return {f"{each.pointer} {each.code}": each.allowed for each in CRAW.infeasible(craw_params(**changes))}


def trunk_areas(**changes: object) -> list[float]:
    """Areas of the trunk's joints, mm2."""
    metrics = estimate(read_request({"style": "craw", "params": changes}))["metrics"]
    return [joint["area_mm2"] for joint in metrics["joints"] if joint["strand"] == "trunk"]


def test_a_flat_belly_cuts_lobes_and_core_in_one_plane() -> None:
    strands = craw(flat_belly=0.2, **LIMBLESS)
    body = [strand for strand in strands if strand.kind in ("trunk", "core")]
    assert len(body) == 3
    solid = joined(body, 0.02)
    # 11 mm high: 5.5 mm below the middle, less a fifth of the height. The core is lower than that and stays whole.
    assert solid.vertices[:, 2].min() == pytest.approx(-(5.5 - 2.2), abs=1e-4)
    assert solid.vertices[:, 2].max() == pytest.approx(5.5, abs=0.03)


@pytest.mark.parametrize("side", ["back", "belly"])
def test_a_hook_slot_runs_along_the_middle_and_leaves_a_floor(side: str) -> None:
    params = craw_params(hook_slot=side)
    assert list(CRAW.infeasible(params)) == []
    (slot,) = CRAW.hollows(params)
    core: Strand = named(CRAW.strands(params), "core")
    solid = joined([core], 0.02, [slot])
    begin, end = 0.25 * 95, 0.5 * 95
    bottom = solid.vertices[np.abs(solid.vertices[:, 1]) < 0.3]
    bottom = bottom[(bottom[:, 0] > begin - 0.1) & (bottom[:, 0] < end + 0.1)]
    depth = bottom[:, 2] * (1 if side == "back" else -1)
    lowest = float(core.body.back.height(np.array([begin - core.path.frames(np.zeros(1))[0][0, 0]]))[0])
    assert depth[depth > 0].min() == pytest.approx(lowest - 0.3 * 2 * lowest, abs=0.02)
    assert depth[depth > 0].min() + lowest >= 3 - 0.02


def test_a_slot_weakens_the_joints_that_it_crosses() -> None:
    plain, slotted = trunk_areas(), trunk_areas(hook_slot="back")
    assert slotted[0] == plain[0], "it begins behind the first"
    # 2 mm wide and 0.3 of the core deep: no more than that is gone.
    lost = np.array(plain[1:]) - np.array(slotted[1:])
    assert (lost > 0.5).all() and (lost < 2 * 0.3 * 0.55 * 11).all()


def test_a_smooth_nose_takes_the_ribs_away() -> None:
    assert len(trunk_areas(nose_smooth=35)) < len(trunk_areas(nose_smooth=25)) < len(trunk_areas())
    (lobe,) = (strand for strand in craw(nose_smooth=30) if strand.name == "left lobe")
    (right,) = (strand for strand in craw(nose_smooth=30) if strand.name == "right lobe")
    assert lobe.zones == right.zones != ()


def test_what_a_craw_s_dress_cannot_be_is_told() -> None:
    told = faults(hook_slot="back", hook_slot_depth=0.8)
    assert told.keys() == {"/params/hook_slot_depth slot-too-deep"}
    allowed = told["/params/hook_slot_depth slot-too-deep"]
    assert isinstance(allowed, dict)
    assert faults(hook_slot="back", hook_slot_depth=allowed["maximum"]) == {}
    assert "/params/hook_slot_length slot-outside" in faults(hook_slot="back", hook_slot_at=70)
    assert faults(flat_belly=0.4).keys() == {"/params/wrist_height root-too-thick", "/params/leg_root root-too-thick"}


def test_it_wears_nothing_else() -> None:
    assert not {"head", "jig_bore", "weight_bore", "rattle_pocket", "eye", "egg_band"} & set(CRAW.defaults())
    assert CRAW.hollows(CRAW.defaults()) == ()
