"""The craw as a shape: one piece, its exact length, lobes that meet the core by what is asked, every kind of claw."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.craw.drawn_craws import craw, craw_bodies, craw_params, edges_by_place, named
from tests.property.drawn import for_all
from worker.errors import InfeasibleRequest
from worker.measures.strand.trunk_section import place_of, station_at
from worker.measures.strand.whole import size_of_all
from worker.request import read_request
from worker.solid.join import joined
from worker.solid.solid import Solid
from worker.strands.attach import outside
from worker.strands.strand import Strand
from worker.strands.turning import too_tight
from worker.styles.craw import CRAW
from worker.styles.craw_body import CrawBody

DRAWN_LENGTH_MM = 0.05
"""Drawn craws are meshed at a tolerance of 0.05 mm, which the tips of claws may use."""


def split(strands: tuple[Strand, ...]) -> tuple[tuple[Strand, ...], tuple[Strand, ...]]:
    """Trunk and limbs."""
    return tuple(s for s in strands if not s.limb), tuple(s for s in strands if s.limb)


def test_a_craw_of_defaults_is_one_piece_without_holes(default_solid: Solid) -> None:
    assert (len(default_solid.parts), default_solid.through_holes) == (1, 0)


def test_the_default_craw_has_the_shape_of_one() -> None:
    strands, length = craw(), 95.0
    kinds = [strand.kind for strand in strands]
    assert {kind: kinds.count(kind) for kind in ("claw", "leg", "feeler", "fan")} == {
        "claw": 6,  # a palm and two fingers on each side
        "leg": 6,
        "feeler": 2,
        "fan": 3,
    }
    for strand in strands:
        tip = strand.path.frames(np.array([strand.path.length]))[0][0]
        root = strand.path.frames(np.array([0.0]))[0][0]
        if strand.kind in ("claw", "leg", "feeler"):
            assert tip[0] > root[0], f"{strand.name} trails"
        if strand.kind == "fan":
            assert tip[0] < root[0], "the fan is at the line end"
        if strand.kind in ("leg", "feeler"):
            thick = strand.body.half_sizes(np.array([0.5, strand.path.length * 0.9]))[0]
            assert thick[1] < 0.8 * thick[0], f"{strand.name} thins out"
    claws = [strand for strand in strands if strand.kind == "claw"]
    assert max(place for s in claws for place in s.path.frames(np.array([s.path.length]))[0][:, 0]) > 0.95 * length


def test_left_and_right_mirror_each_other(default_solid: Solid) -> None:
    solid = default_solid
    low, high = solid.vertices.min(axis=0), solid.vertices.max(axis=0)
    assert low[1] == pytest.approx(-high[1], abs=1e-4)
    middle = solid.body.trim_by_plane((0.0, 1.0, 0.0), 0.0)
    assert middle.volume() == pytest.approx(solid.volume / 2, rel=1e-5)


@pytest.mark.parametrize("claws", ["pincer", "flapper", "paddle", "curl"])
def test_every_kind_of_claw_ends_at_the_length_asked(claws: str) -> None:
    solid = joined(craw(claws=claws, length=100), 0.02)
    assert (len(solid.parts), solid.through_holes) == (1, 0)
    assert solid.extent[0] == pytest.approx(100, abs=0.02)
    assert solid.vertices[:, 0].min() == pytest.approx(0, abs=0.02)


@pytest.mark.parametrize("changes", [{}, {"tail_fan": 0}, {"leg_pairs": 0}, {"feelers": 0}, {"feelers": 3}])
def test_parts_can_be_left_out(changes: dict[str, float]) -> None:
    solid = joined(craw(**changes), 0.05)
    assert len(solid.parts) == 1
    assert solid.extent[0] == pytest.approx(95, abs=DRAWN_LENGTH_MM)


THICK_LEGS = {
    "length": 140, "body_share": 0.56, "body_width": 28, "body_height": 28, "body_taper": 1, "core_width": 16,
    "lobe_overlap": 4, "rib_pitch": 8, "rib_depth": 4, "tail_fan": 13, "claw_width": 15.8, "wrist_width": 10,
    "leg_pairs": 5, "leg_length": 30, "leg_root": 4.2, "leg_tip": 3, "leg_sweep": 70,
}  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        (THICK_LEGS, "/params/leg_pairs"),
        ({"body_share": 0.3, "length": 140, "leg_pairs": 5, "leg_root": 2.3, "leg_sweep": 70}, "/params/leg_pairs"),
        ({"feelers": 4, "feeler_root": 4, "core_width": 8}, "/params/feelers"),
    ],
)
def test_limbs_that_run_into_each_other_are_refused_with_what_would_do(changes: dict[str, Any], pointer: str) -> None:
    with pytest.raises(InfeasibleRequest) as refused:
        read_request({"style": "craw", "params": changes})
    faults = {fault.pointer: fault for fault in refused.value.faults}
    assert faults[pointer].code == "limbs-too-close" and "Would do:" in faults[pointer].detail, faults
    allowed = {name: fault.allowed for name, fault in faults.items()}
    mended = {name.rpartition("/")[2]: (each or {}).get("maximum") for name, each in allowed.items()}
    taken = {**changes, **mended}
    solid = joined(read_request({"style": "craw", "params": taken}).bait.strands(), 0.1)
    assert (len(solid.parts), solid.through_holes) == (1, 0)


def test_the_fingers_of_a_pincer_begin_inside_of_its_palm() -> None:
    """No step where a root ends: the palm is an ellipse, thinner beside its middle than in it."""
    for changes in ({}, {"finger_gap": 0}, {"finger_gap": 50, "claw_width": 20}, {"claw_rise": 20, "finger_gap": 0}):
        strands = craw(**changes)
        palm = named(strands, "left claw")
        for name in ("outer", "inner"):
            finger = named(strands, f"left claw {name} finger")
            centre, left, back = finger.path.frames(np.zeros(1))
            half_width, half_height = (float(size[0]) for size in finger.body.half_sizes(np.zeros(1)))
            turn = np.linspace(0, 2 * np.pi, 33)[:, None]
            rim = centre + half_width * np.cos(turn) * left + half_height * np.sin(turn) * back
            assert (outside(palm, rim) < 0).all(), (changes, name)


@pytest.mark.parametrize("overlap", [0.5, 1.5, 4.0])
@pytest.mark.parametrize("taper", [0.65, 1.0])
def test_lobes_run_into_the_core_by_the_overlap_asked(overlap: float, taper: float) -> None:
    params = craw_params(lobe_overlap=overlap, body_taper=taper)
    body, depth = CrawBody(params), float(params["rib_depth"])
    lobe, core = body.left_lobe, body.core
    # Where neither is rounded off; the floor is the lobe's girth less the ribs' depth.
    station = np.linspace(lobe.relief.ends[0] + 0.5, lobe.path.length - lobe.relief.ends[1] - 0.5, 25)
    points, left, _ = lobe.path.frames(station)
    floor = lobe.smooth.half_sizes(station)[0] - depth
    inner = points - floor[:, None] * left
    core_half = core.body.half_sizes(station_at(core, inner[:, 0]))[0]
    assert core_half - inner[:, 1] == pytest.approx(overlap, abs=1e-9)


def test_the_body_is_as_wide_and_high_as_asked() -> None:
    strands = craw(body_width=16, body_height=12)
    lobe = named(strands, "left lobe")
    square = np.array([lobe.path.length - lobe.relief.ends[1]])
    width, height = lobe.smooth.half_sizes(square)
    middle = lobe.path.frames(square)[0][0]
    assert 2 * (middle[1] + width[0]) == pytest.approx(16, abs=0.01)
    assert 2 * height[0] == pytest.approx(12, abs=1e-9)
    assert place_of(lobe, square)[0] == pytest.approx(middle[0])


def test_legs_and_feelers_are_as_long_outside_as_asked() -> None:
    strands = craw(leg_length=15, feeler_length=28)
    for strand, length in ((named(strands, "left leg 2"), 15), (named(strands, "left feeler 1"), 28)):
        assert strand.root is not None
        assert strand.path.length - strand.root.leaves == pytest.approx(length, abs=0.02)


@pytest.mark.parametrize(
    ("changes", "pointer", "code"),
    [
        ({"core_width": 12}, "/params/core_width", "core-too-thick"),
        ({"rib_depth": 3}, "/params/rib_depth", "ribs-too-deep"),
        ({"leg_tip": 2.5}, "/params/leg_tip", "tip-too-thick"),
        ({"wrist_width": 9}, "/params/wrist_width", "root-too-thick"),
        ({"claw_length": 55}, "/params/claw_length", "claws-too-long"),
        (
            {"length": 140, "claw_length": 15, "tail_fan": 0, "body_share": 0.3},
            "/params/claw_length",
            "claws-too-short",
        ),
        ({"feeler_length": 60}, "/params/feeler_length", "feelers-too-long"),
        ({"leg_pairs": 5, "leg_root": 4}, "/params/leg_pairs", "legs-too-close"),
        ({"claw_spread": 0}, "/params/claw_spread", "claws-meet"),
        ({"claws": "curl", "claw_width": 25}, "/params/claw_width", "turns-too-tight"),
        ({"body_height": 28, "body_width": 28, "body_share": 0.4}, "/params/body_share", "body-too-short"),
    ],
)
def test_what_cannot_stand_together_is_told_before_any_work(changes: dict[str, float], pointer: str, code: str) -> None:
    with pytest.raises(InfeasibleRequest) as refused:
        read_request({"style": "craw", "params": changes})
    assert (pointer, code) in [(fault.pointer, fault.code) for fault in refused.value.faults]


def test_what_a_refusal_allows_is_allowed() -> None:
    for changes in ({"core_width": 12}, {"rib_depth": 3}, {"claw_length": 50}, {"feeler_length": 60}):
        with pytest.raises(InfeasibleRequest) as refused:
            read_request({"style": "craw", "params": changes})
        fault = refused.value.faults[0]
        allowed = fault.allowed
        assert isinstance(allowed, dict)
        name = fault.pointer.rpartition("/")[2]
        read_request({"style": "craw", "params": {**changes, name: allowed["maximum"]}})


@for_all(craw_bodies(), quick=3, proof=400)
def test_every_craw_that_is_taken_is_sound(body: dict[str, object]) -> None:
    """Closed, outward, one piece or told, its exact length, and measured rightly without a mesh."""
    request = read_request(body)
    strands = CRAW.strands(request.params)
    solid = joined(strands, 0.05)
    size = size_of_all(*split(strands))
    assert len(solid.parts) == size.runs
    assert all(part.volume() > 0 for part in solid.parts)
    assert (edges_by_place(solid) == 2).all()
    assert solid.extent[0] == pytest.approx(float(request.params["length"]), abs=DRAWN_LENGTH_MM)
    assert size.length == pytest.approx(float(request.params["length"]), abs=0.002)
    assert size.volume == pytest.approx(solid.volume, rel=0.01)
    assert size.surface == pytest.approx(solid.surface, rel=0.05)
    assert solid.extent[1:] == pytest.approx((size.max_width, size.max_height), abs=0.1)
    for strand in strands:
        assert too_tight(strand) is None
