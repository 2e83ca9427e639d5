"""The grub: as long as asked, as moulded or laid straight, and one or two tails that curl clear of themselves."""

from __future__ import annotations

import numpy as np
import pytest

from tests.styles.baits import built, extent_at, faults, strand_of, subject_of
from worker.estimate import estimate
from worker.request import read_request
from worker.strands.strand import Strand


def _laid(trunk: Strand, tail: Strand) -> float:
    """From the nose to the tail's tip along both: the way of a thread laid on them, from 20,001 points of the paths."""
    root = tail.root
    assert root is not None
    way = 0.0
    for strand, begin, end in ((trunk, 0.0, root.station), (tail, root.leaves, tail.path.length)):
        points = strand.path.frames(np.linspace(begin, end, 20_001))[0]
        way += float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    return way


@pytest.mark.parametrize(
    "changes", [{}, {"tail_count": 2}, {"length": 80, "tail_curl": 300}, {"body_length": 30, "length": 55}]
)
def test_it_is_as_long_as_moulded(changes: dict[str, float]) -> None:
    solid = built("grub", **changes)
    assert solid.extent[0] == pytest.approx(changes.get("length", 65), abs=0.02)
    assert len(solid.parts) == 1


@pytest.mark.parametrize("count", [1, 2])
def test_it_is_as_long_as_laid_straight(count: int) -> None:
    """Measured along the paths; the answer says both lengths."""
    params = {"length": 90, "length_is": "laid_straight", "tail_count": count}
    subject = subject_of("grub", **params)
    tail = strand_of(subject, "tail" if count == 1 else "left tail")
    assert _laid(subject.trunk, tail) == pytest.approx(90, abs=0.02)
    metrics = estimate(read_request({"style": "grub", "params": params}))["metrics"]
    assert metrics["laid_straight_mm"] == pytest.approx(90, abs=0.02)
    assert metrics["length_mm"] == pytest.approx(built("grub", **params).extent[0], abs=0.02)
    assert metrics["length_mm"] < 80


def test_both_ways_of_saying_a_length_are_one_bait() -> None:
    moulded = subject_of("grub", length=65)
    tail = strand_of(moulded, "tail")
    laid = built("grub", length=round(_laid(moulded.trunk, tail), 4), length_is="laid_straight")
    assert laid.volume == pytest.approx(built("grub", length=65).volume, rel=1e-4)


def test_its_body_is_as_asked() -> None:
    solid = built("grub", rib_depth=0)
    assert extent_at(solid, 0.22 * 40, within=0.5)[0] == pytest.approx(10, abs=0.02)
    assert solid.vertices[solid.vertices[:, 0] < 30, 1].max() == pytest.approx(5, abs=0.02)


def test_two_tails_are_one_and_its_mirror_image() -> None:
    solid = built("grub", tail_count=2)
    rows = {tuple(row) for row in np.round(solid.vertices, 3)}
    turned = {tuple(row) for row in np.round(solid.vertices * [1, -1, 1], 3) + 0.0}
    assert len(rows & {tuple(np.array(row) + 0.0) for row in turned}) > 0.95 * len(rows)


def test_what_cannot_be() -> None:
    allowed = faults("grub", length=50)["/params/length"]
    assert faults("grub", length=allowed["minimum"]) == {}
    assert faults("grub", length=allowed["maximum"]) == {}
    straight = faults("grub", length=45, length_is="laid_straight")["/params/length"]
    assert faults("grub", length=straight["minimum"], length_is="laid_straight") == {}
    assert "/params/tail_wrist" in faults("grub", diameter=5, rib_depth=0.4, tail_wrist=5)
    assert "/params/diameter" in faults("grub", diameter=22, body_length=20)
    assert faults("grub", rib_depth=3)["/params/rib_depth"]["maximum"] == pytest.approx(1.5)
    assert "/params/tail_tip_thickness" in faults("grub", tail_tip_thickness=2, tail_root_thickness=1.5)


def test_a_slot_shallower_than_its_bottom_is_round_is_a_groove() -> None:
    """0.15 of 7.8 mm deep on a belly cut level, 2.7 mm wide: a groove of a circle's segment, 1.17 mm deep."""
    params = {"flat_belly": 0.22, "hook_slot": "belly", "hook_slot_width": 2.7, "hook_slot_at": 20, "rib_depth": 0}
    level, slotted = (
        built("grub", **{**params, **more}) for more in ({"hook_slot": "none"}, {"hook_slot_depth": 0.15})
    )
    taken = level.volume - slotted.volume
    depth = 0.15 * strand_of(subject_of("grub", **params), "trunk").smooth.half_sizes(np.array([15.0]))[1][0] * 2
    segment = 1.35**2 * np.arccos(1 - depth / 1.35) - (1.35 - depth) * np.sqrt(2 * 1.35 * depth - depth**2)
    assert taken == pytest.approx(segment * 0.25 * 65, rel=0.15)  # its ends are round, and the body tapers over it
