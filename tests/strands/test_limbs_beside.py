"""What limbs add to each other's joints, against the mesh's own planar sections and a minimum cut through it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.property.flares import without_flares
from tests.strands.test_covered_necks import Body, in_plane, subject_of
from worker.checks.subject import Subject
from worker.measures.solid.grid import grid_of
from worker.measures.solid.minimum_cut import minimum_cut, ties_of
from worker.measures.strand.joints import Joints
from worker.measures.strand.limb_joints import limb_joints
from worker.measures.strand.rims_of_necks import necks_at
from worker.strands.attach import inside

TRUNK: Body = {"name": "body", "kind": "trunk", "path": {"length": 60}, "girth": [{"at": 0, "width": 10}]}
WAISTED: Body = {
    "name": "leg",
    "kind": "leg",
    "parent": "body",
    "stations": [0.5],
    "yaw": 90,
    "path": {"length": 26},
    "girth": [{"at": at, "width": width} for at, width in ((0, 4), (0.4, 4), (0.6, 2.4), (0.8, 4), (1, 3))],
    "root_blend": 0,
}


def across(rise: float) -> Body:
    """A fin from further ahead that runs over the leg's waist, which lies 15.6 mm out: 9.01 mm ahead at 60 degrees."""
    return {
        "name": "fin",
        "kind": "fin",
        "parent": "body",
        "stations": ["20.99 mm"],
        "yaw": 60,
        "rise": rise,
        "path": {"length": 26},
        "girth": [{"at": 0, "width": 2.6}],
        "root_blend": 0,
    }


def joints_of(subject: Subject, name: str) -> tuple[Joints, Joints]:
    """A limb's joints for themselves, and as they are told."""
    limb = next(each for each in subject.limbs if each.name == name)
    parent = next(each for each in subject.strands if limb.root is not None and each.name == limb.root.parent)
    told = next(group.joints for group in subject.joint_groups if group.strand == name)
    return limb_joints(limb, parent, subject.plastic.strength)[0], told


@pytest.mark.parametrize("rise", [0.0, 3.0, 5.0])
def test_the_high_pull_counts_what_the_mesh_has_in_the_plane(rise: float) -> None:
    subject = subject_of({"strands": [TRUNK, WAISTED, across(rise)]})
    alone, told = joints_of(subject, "leg")
    strength, reach = subject.plastic.strength, float(alone.half_width[1])
    plane = told.pull_high[1] / strength.high
    solid = without_flares(subject, 0.02)
    assert plane == pytest.approx(in_plane(solid, necks_at((subject.limbs[0],), alone.station), 1, reach), rel=0.01)
    assert alone.area[1] < told.area[1] < plane
    assert told.pull[1] == pytest.approx(strength.typical * told.area[1] / alone.factor[1])
    np.testing.assert_array_equal(told.pull_low, alone.pull_low)
    assert told.area[0] == alone.area[0], "of its root no limb lies near"


def cut_off(subject: Subject) -> float:
    """mm2 of the least surface through the solid that parts the leg's tip from its root, as cells count it.

    The fin belongs to neither side: the surface may go through it as it likes, where it holds to the trunk too.
    """
    leg, solid = subject.limbs[0], without_flares(subject, 0.02)
    grid = grid_of(solid.vertices, solid.triangles, 0.2, (solid.vertices.min(axis=0), solid.vertices.max(axis=0)))
    out = leg.path.nearest(grid.middles)
    own = inside(leg, grid.middles)
    held = inside(subject.trunk, grid.middles) | (own & (out < 10.0))
    cut = minimum_cut(grid, ties_of(grid), own & (out > 21.0), held)
    assert cut is not None
    return cut.area


def test_no_more_is_told_than_a_minimum_cut_finds() -> None:
    """Cells count a plane across an axis too small: the waist with the fin high over it tells by how much.

    A fin that swallows the waist whole is told 6 % too much: it is parted aslant, past the ends of the neck's plane.
    """
    bare = subject_of({"strands": [TRUNK, WAISTED, across(20.0)]})
    alone, told = joints_of(bare, "leg")
    assert told is alone or (told.area == alone.area).all()
    scale = float(alone.area[1]) / cut_off(bare)
    for rise, most in ((0.0, 1.08), (3.0, 1.03), (5.0, 1.03)):
        subject = subject_of({"strands": [TRUNK, WAISTED, across(rise)]})
        found, (_, covered) = scale * cut_off(subject), joints_of(subject, "leg")
        assert alone.area[1] < covered.area[1] < most * found, (rise, found, covered.area[1])


def test_blades_of_a_fan_hold_each_other_and_left_is_right() -> None:
    subject = subject_of({"style": "craw", "params": {}})
    blades = [group for group in subject.joint_groups if group.strand.endswith("fan blade")]
    assert len(blades) == 3
    for blade in blades:
        alone, told = joints_of(subject, blade.strand)
        assert 1.05 * alone.area[0] < told.area[0] < 2 * alone.area[0]
    left, right = (each.joints for each in blades if each.strand.startswith(("left", "right")))
    np.testing.assert_array_equal(left.pull, right.pull)


@pytest.mark.parametrize("style", ["lizard", "creature"])
def test_limbs_that_lie_apart_stay_as_they_are(style: str) -> None:
    subject = subject_of({"style": style, "params": {}})
    parents: dict[str, Any] = {strand.name: strand for strand in subject.strands}
    rooted = [limb for limb in subject.limbs if limb.root is not None]
    assert rooted
    for limb in rooted:
        assert limb.root is not None and limb.root.parent in parents
        alone, told = joints_of(subject, limb.name)
        np.testing.assert_array_equal(told.area, alone.area)
