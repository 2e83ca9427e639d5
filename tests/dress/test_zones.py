"""Zones laid over exact outlines: what is inside, what is left outside, and which necks remain."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.tails.drawn_tails import worm
from worker.measures.strand.joints import joints_of
from worker.solid.trunk import solid_of
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.strands.zones import FOOT, SHOULDER, Zone
from worker.values.plastics import BUILT_IN

SOFT = BUILT_IN["soft"].strength


def rod(length: float, diameter: float, *zones: Zone, ends: tuple[float, float] = (0.0, 0.0)) -> Strand:
    """A round rod with zones."""
    girth = Girth.circular((0.0, diameter), (1.0, diameter))
    return Strand("rod", "trunk", StraightPath(length), girth, Plain(ends), zones=zones)


def volume(strand: Strand) -> float:
    """By quadrature over the exact outlines."""
    grid = strand.body.grid()
    return float((grid.weight * strand.body.area(grid.station)).sum())


def test_a_head_is_half_an_ellipsoid_on_a_cylinder() -> None:
    # 2/3 pi r^2 h of the head; the rest a cylinder.
    bait = rod(60, 10, Zone(0.0, 20.0, cap=8.0), ends=(5.0, 0.0))
    exact = math.pi * 25 * (2 / 3 * 8 + 52)
    assert volume(bait) == pytest.approx(exact, rel=1e-9)
    assert solid_of(bait, 0.01).volume == pytest.approx(exact, rel=1e-5)


def test_a_flat_face_cuts_an_ellipsoid_short() -> None:
    # A sphere's zone between the face and the equator: pi (r^2 h - h^3 / 3), stretched from h to the head's 3 mm.
    height = math.sqrt(25 - 4)
    bait = rod(60, 10, Zone(0.0, 3.0, cap=3.0, face=2.0), Zone(56.0, 60.0, tip=4.0, face=2.0))
    segment = math.pi * (25 * height - height**3 / 3) / height
    assert volume(bait) == pytest.approx(math.pi * 25 * 53 + segment * 7, rel=1e-9)
    assert bait.body.side.height(np.array([0.0, 60.0])) == pytest.approx(2.0)


def test_a_flat_head_is_a_cylinder() -> None:
    assert volume(rod(60, 10, Zone(0.0, 5.0, cap=0.0), ends=(5.0, 0.0))) == pytest.approx(math.pi * 25 * 60, rel=1e-9)


def test_a_collar_stands_out_by_what_it_is_raised() -> None:
    bait = rod(60, 10, Zone(20.0, 40.0, raised=1.0))
    foot, run = FOOT, SHOULDER
    at = np.array([19.999, 20 + foot + run, 30.0, 40 - foot - run, 40.001])
    assert bait.body.side.height(at) == pytest.approx([5, 6, 6, 6, 5], abs=1e-6)
    # Between them a quarter circle with the plastic outside, then a quarter ellipse: by Pappus, one shoulder at a time.
    x = np.linspace(20, 20 + foot + run, 400001)
    concave = 5 + foot - np.sqrt(np.maximum(foot**2 - (x - 20) ** 2, 0))
    convex = 5 + foot + (1 - foot) * np.sqrt(np.maximum(1 - ((20 + foot + run - x) / run) ** 2, 0))
    shoulder = float(np.trapezoid(np.pi * np.where(x < 20 + foot, concave, convex) ** 2, x))
    exact = math.pi * 25 * 40 + 2 * shoulder + math.pi * 36 * (20 - 2 * foot - 2 * run)
    assert volume(bait) == pytest.approx(exact, rel=1e-6)
    assert solid_of(bait, 0.01).volume == pytest.approx(exact, rel=1e-5)


def test_outside_of_a_zone_nothing_changes_to_the_last_bit() -> None:
    (plain,) = worm("beaded_worm", taper=0.6)
    bait = replace(plain, zones=(Zone(30.0, 55.0, raised=0.7),))
    at = np.concatenate([np.linspace(0.01, 29.9, 300), np.linspace(55.1, 126.9, 300)])
    assert np.array_equal(plain.body.side.height(at), bait.body.side.height(at))
    inside = np.linspace(35, 50, 50)
    assert bait.body.side.height(inside) == pytest.approx(plain.girth.width(inside / 127) / 2 + 0.7)


@pytest.mark.parametrize(("begin", "end"), [(0.0, 40.0), (40.0, 70.0), (90.0, 127.0)])
def test_the_necks_inside_of_a_zone_are_necks_no_more(begin: float, end: float) -> None:
    (plain,) = worm("jointed_worm", bead_count=12)
    crests = plain.body.side.crest_x
    begin, end = (float(crests[np.abs(crests - at).argmin()]) if 0 < at < 127 else at for at in (begin, end))
    bait = replace(plain, zones=(Zone(begin, end),))
    before, after = joints_of(plain.body, SOFT), joints_of(bait.body, SOFT)
    left = (before.station < begin) | (before.station > end)
    assert left.sum() == len(after) < len(before)
    assert after.station == pytest.approx(before.station[left])
    assert after.area == pytest.approx(before.area[left])
    assert np.array_equal(after.on_core, before.on_core[left])


def test_a_zone_that_ends_beside_a_crest_leaves_the_foot_of_its_face_as_a_joint() -> None:
    """Half way up the next bead: the section just behind the face is the thinnest one there."""
    (plain,) = worm("beaded_worm", bead_count=16)
    crests, necks = plain.body.side.crest_x, plain.body.side.gaps.station
    border = float(necks[4] + crests[5]) / 2
    bait = replace(plain, zones=(Zone(0.0, border),))
    after = joints_of(bait.body, SOFT)
    assert len(after) == 15 - 4
    assert after.station[0] == pytest.approx(border)
    assert after.area[0] == pytest.approx(float(plain.body.area(np.array([border]))[0]))
    # No ball has rolled there: the notch is as sharp as a joint without a blend.
    assert bait.body.side.blends.tolist() == [0.0] + [0.8] * 10
    assert solid_of(bait, 0.02).volume == pytest.approx(volume(bait), rel=1e-4)


def test_a_zone_in_one_neck_leaves_two() -> None:
    (plain,) = worm("jointed_worm", bead_count=8)
    middle = float(plain.body.side.gaps.station[3])
    bait = replace(plain, zones=(Zone(middle - 1.5, middle + 1.5),))
    assert len(joints_of(bait.body, SOFT)) == len(joints_of(plain.body, SOFT)) + 1
    assert len(bait.body.side.crest_x) == len(bait.body.side.gaps.station) + 1


def test_a_zone_ties_parted_beads_together() -> None:
    (plain,) = worm("beaded_worm", bead_count=10, joint_blend=0)
    crests = plain.body.side.crest_x
    assert len(plain.body.runs) == 10
    assert len(replace(plain, zones=(Zone(float(crests[2]), float(crests[5])),)).body.runs) == 7
    whole = replace(plain, zones=(Zone(0.0, 127.0),))
    assert whole.body.runs == [(0.0, 127.0)]
    assert len(joints_of(whole.body, SOFT)) == 0
    assert volume(whole) == pytest.approx(math.pi * 4.5**2 * 118 + 4 / 3 * math.pi * 4.5**3, rel=1e-9)


def test_a_zone_that_ends_in_a_void_leaves_what_lies_behind_apart() -> None:
    (plain,) = worm("beaded_worm", bead_count=10, joint_blend=0)
    ends = plain.body.runs
    bait = replace(plain, zones=(Zone(0.0, (ends[3][1] + ends[4][0]) / 2),))
    assert len(bait.body.runs) == 7
    assert len(joints_of(bait.body, SOFT)) == 0


def test_zones_keep_a_flattened_worm_s_two_views_in_step() -> None:
    (plain,) = worm("beaded_worm", bead_height_ratio=0.7, bead_count=20)
    bait = replace(plain, zones=(Zone(0.0, 33.0, cap=6.0), Zone(60.0, 75.0, raised=0.8)))
    assert len(bait.body.side.gaps.station) == len(bait.body.back.gaps.station)
    assert solid_of(bait, 0.02).volume == pytest.approx(volume(bait), rel=1e-4)
