"""The creature: groups of limbs where they are asked for, and exactly its length whichever limb ends it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator

from tests.styles.limbed import leaves, outer_length, solid_of, strands_of, subject_of, tip
from worker.styles import STYLES
from worker.styles.creature_body import CreatureBody

KINDS = ("leg", "flapper", "wing", "curl", "feeler", "paddle")


@pytest.mark.parametrize("kind", KINDS)
def test_whichever_limb_reaches_furthest_the_bait_is_as_long_as_asked(kind: str) -> None:
    group = {"kind": kind, "from": 0.9, "length": 36, "root": 3, "sweep": 72, "width": 9}
    solid = solid_of("creature", groups=[group], length=90)
    assert solid.extent[0] == pytest.approx(90, abs=0.02)
    assert (len(solid.parts), solid.through_holes) == (1, 0)
    assert subject_of("creature", groups=[group], length=90).trunk.path.length < 85, "the limb ends the bait"


@pytest.mark.parametrize("tail", ["none", "kick", "curl", "fork"])
def test_without_long_limbs_the_body_or_its_tail_ends_the_bait(tail: str) -> None:
    solid = solid_of(
        "creature", groups=[{"from": 0.3, "to": 0.5, "pairs": 2}], tail=tail, tail_curl=180, body_taper=0.6
    )
    assert solid.extent[0] == pytest.approx(105, abs=0.02)


def test_limbs_that_reach_past_the_tail_shorten_the_body_and_it_keeps_its_tail() -> None:
    groups = [{"kind": "flapper", "from": 0.88, "length": 44, "root": 3.4, "width": 13, "sweep": 65}]
    subject = subject_of("creature", tail="kick", tail_length=12, groups=groups)
    assert {strand.kind for strand in subject.strands} >= {"tail", "flapper"}
    assert subject.size.length == pytest.approx(105, abs=1e-3)


def test_the_body_is_as_wide_and_high_as_asked() -> None:
    solid = solid_of("creature", groups=[], body_width=16.5, body_height=12.5)
    assert solid.extent[1:] == pytest.approx((16.5, 12.5), abs=0.04)


def test_a_plain_body_has_the_volume_of_its_girth() -> None:
    # PCHIP over the girth's stations (SciPy's own), pi a b along it, and half ellipsoids for the ends: of a cap
    # c mm long on the section A two thirds of A c count.
    params = {**STYLES["creature"].defaults(), "rib_depth": 0.0, "groups": []}
    body = CreatureBody(params, 105.0)
    stations = np.array([(s.at * 105, s.width / 2, (s.back + s.belly) / 2) for s in body.girth.stations])
    half_width, half_height = (PchipInterpolator(stations[:, 0], stations[:, of]) for of in (1, 2))

    def section(x: float) -> float:
        return float(np.pi * half_width(x) * half_height(x))

    first, last = body.ends[0], 105 - body.ends[1]
    exact = quad(section, first, last, epsabs=1e-9, limit=200)[0]
    exact += 2 / 3 * (section(first) * body.ends[0] + section(last) * body.ends[1])
    assert solid_of("creature", rib_depth=0, groups=[]).volume == pytest.approx(exact, rel=2e-4)


def test_pairs_leave_the_body_where_they_are_asked_to() -> None:
    group = {"kind": "leg", "pairs": 3, "from": 0.3, "to": 0.7, "root": 2, "length": 14}
    strands = strands_of("creature", groups=[group], rib_depth=0)
    length = strands["trunk"].path.length
    x = [leaves(strands[f"left leg {pair}"])[0] for pair in (1, 2, 3)]
    assert x == pytest.approx([0.3 * length, 0.5 * length, 0.7 * length], abs=0.35)
    assert [outer_length(strands[f"left leg {pair}"]) for pair in (1, 2, 3)] == pytest.approx([14] * 3, abs=0.4)


@pytest.mark.parametrize("every", [1, 2, 3])
def test_pairs_on_ribs_leave_from_the_middle_of_every_nth_rib(every: int) -> None:
    group = {"kind": "leg", "pairs": 3, "from": 0.4, "every": every, "root": 1.6, "length": 12, "sweep": 20}
    subject = subject_of("creature", groups=[group])
    outline = subject.trunk.body.relief
    for strand in subject.strands:
        if strand.name.startswith("left leg"):
            x = leaves(strand)[0]
            # The lands lie between the girth's crests: there the outline is the girth itself, ribs or none.
            smooth = subject.trunk.smooth.side.height(np.array([x]))
            assert outline.height(np.array([x])) == pytest.approx(smooth, abs=1e-3)
    x = sorted(leaves(strand)[0] for strand in subject.strands if strand.name.startswith("left leg"))
    assert np.diff(x) == pytest.approx([every * 3.2] * 2, abs=0.02)


@pytest.mark.parametrize(("sweep", "behind"), [(0.0, 0.0), (45.0, 0.707), (80.0, 0.985)])
def test_sweep_is_the_way_from_root_to_tip(sweep: float, behind: float) -> None:
    group = {"kind": "flapper", "from": 0.5, "length": 30, "sweep": sweep, "root": 3, "width": 8}
    limb = strands_of("creature", groups=[group], rib_depth=0)["left flapper"]
    way = tip(limb) - leaves(limb)
    assert way[0] / np.linalg.norm(way) == pytest.approx(behind, abs=0.03)
    assert way[1] > 0


@pytest.mark.parametrize("rise", [-30.0, 0.0, 30.0])
def test_a_limb_rises_as_asked(rise: float) -> None:
    limb = strands_of("creature", groups=[{"kind": "paddle", "length": 24, "rise": rise}], rib_depth=0)["left paddle"]
    way = tip(limb) - leaves(limb)
    assert np.degrees(np.arcsin(way[2] / np.linalg.norm(way))) == pytest.approx(rise, abs=3)


def test_blades_are_as_wide_as_asked_and_thin_out_from_root_to_tip() -> None:
    group = {"kind": "flapper", "length": 40, "width": 12.5, "root": 3.4, "tip": 1.3, "sweep": 60}
    limb = strands_of("creature", groups=[group])["left flapper"]
    at = limb.path.length * np.arange(201) / 200
    width, height = limb.body.half_sizes(at)
    assert 2 * width.max() == pytest.approx(12.5, abs=0.02)
    assert 2 * height[0] == pytest.approx(3.4) and 2 * limb.girth.stations[-1].back == pytest.approx(1.3)
    assert (np.diff(height) <= 1e-9).all()


def test_limbs_are_numbered_through_all_groups_of_a_kind() -> None:
    groups: list[dict[str, Any]] = [
        {"kind": "leg", "pairs": 2, "from": 0.3, "to": 0.4, "length": 12},
        {"kind": "wing", "from": 0.55, "length": 14, "sweep": 30},
        {"kind": "leg", "from": 0.8, "length": 12},
    ]
    names = [name for name in strands_of("creature", groups=groups) if name.startswith("left")]
    assert names == ["left leg 1", "left leg 2", "left wing", "left leg 3"]


def test_each_kind_is_held_to_the_pull_of_its_kind() -> None:
    groups = [
        {"kind": kind, "from": 0.3 + 0.14 * place, "length": 16, "width": 6, "sweep": 20}
        for place, kind in enumerate(("leg", "paddle", "curl", "feeler"))
    ]
    limits = {group.strand: group.limit for group in subject_of("creature", groups=groups).joint_groups}
    assert (limits["left leg"], limits["left paddle"]) == (1.2, 3.0)
    assert (limits["left curl"], limits["left feeler"]) == (3.0, 0.6)


def test_a_flare_over_ribs_bridges_no_groove() -> None:
    """The ball rolls over the girth, so its rim hangs over grooves: it is carried down to their floor."""
    group = {"kind": "leg", "pairs": 4, "from": 0.3, "to": 0.7, "root": 2.4, "length": 14}
    for pitch in (2.0, 3.0, 4.5):
        solid = solid_of("creature", groups=[group], rib_pitch=pitch, root_blend=1.2, tolerance=0.05)
        assert (len(solid.parts), solid.through_holes) == (1, 0), pitch
