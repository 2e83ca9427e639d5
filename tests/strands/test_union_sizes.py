"""Volumes and skins of strands that lie in each other, against closed forms; where points lie beside curved paths."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.craw.test_curved_paths import quarter, space_curve
from tests.strands.test_self_meeting import curl, tail
from worker.measures.strand.columns import level_with, share_within
from worker.measures.strand.places import boxes_of
from worker.measures.strand.union import union_of, whole_of
from worker.solid.join import joined
from worker.strands.attach import inside, outside
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import HandedPath, Path, StraightPath
from worker.strands.plain import Plain
from worker.strands.section import Section
from worker.strands.strand import Strand


def rod(name: str, diameter: float, path: Path, height: float | None = None, section: Section | None = None) -> Strand:
    """A plain strand with flat ends."""
    girth = Girth.oval((0.0, diameter, height or diameter), (1.0, diameter, height or diameter))
    return Strand(name, "trunk", path, girth, Plain((0.0, 0.0)), section=section or Section())


def union(*strands: Strand) -> tuple[float, float]:
    """Volume and skin."""
    return union_of(strands, boxes_of(strands))


def test_strands_apart_count_for_themselves() -> None:
    one, other = rod("one", 6, StraightPath(40)), rod("two", 4, StraightPath(40, (0, 20, 0)))
    volume, skin = union(one, other)
    assert volume == pytest.approx(math.pi * (9 + 4) * 40, rel=1e-9)
    assert skin == pytest.approx(math.pi * (6 + 4) * 40 + 2 * math.pi * (9 + 4), rel=1e-9)


def test_a_strand_within_another_is_nothing_more() -> None:
    outer, inner = rod("outer", 10, StraightPath(40)), rod("inner", 4, StraightPath(20, (10, 0, 0)))
    assert union(outer, inner) == pytest.approx(whole_of(outer), rel=1e-6)
    # Of the later strand that is taken off which lies in the earlier one, whose flat ends fall between two stations.
    assert union(inner, outer) == pytest.approx(whole_of(outer), rel=0.015)


@pytest.mark.parametrize("apart", [1.0, 4.0, 7.0])
def test_level_rods_side_by_side_share_a_lens(apart: float) -> None:
    # Lens of two circles of radius r, d apart: 2 r^2 acos(d / 2r) - d / 2 sqrt(4 r^2 - d^2).
    r = 4.0
    lens = 2 * r * r * math.acos(apart / (2 * r)) - apart / 2 * math.sqrt(4 * r * r - apart * apart)
    volume, skin = union(rod("one", 2 * r, StraightPath(50)), rod("two", 2 * r, StraightPath(50, (0, apart, 0))))
    assert volume == pytest.approx((2 * math.pi * r * r - lens) * 50, rel=1e-3)
    free = 2 * math.pi * r - 2 * r * math.acos(apart / (2 * r))
    assert skin == pytest.approx(2 * free * 50 + 2 * (2 * math.pi * r * r - lens), rel=0.01)


@pytest.mark.parametrize("apart", [2.0, 4.0, 7.0])
def test_flat_ends_in_one_plane_count_once(apart: float) -> None:
    """Discs, so that their faces are most of the skin: the union's faces are both circles less the lens."""
    r, thick = 4.0, 0.5
    lens = 2 * r * r * math.acos(apart / (2 * r)) - apart / 2 * math.sqrt(4 * r * r - apart * apart)
    free = 2 * math.pi * r - 2 * r * math.acos(apart / (2 * r))
    skins = []
    for turn in np.arange(12) / 12:
        # Where the other disc lies around the first does not matter; the places asked of a face are few.
        way = (0.0, apart * math.cos(2 * math.pi * turn), apart * math.sin(2 * math.pi * turn))
        skins.append(union(rod("one", 2 * r, StraightPath(thick)), rod("two", 2 * r, StraightPath(thick, way)))[1])
    exact = 2 * free * thick + 2 * (2 * math.pi * r * r - lens)
    assert float(np.mean(skins)) == pytest.approx(exact, rel=0.03)


def test_rods_that_cross_share_a_steinmetz_solid() -> None:
    # Two equal cylinders that cross squarely share 16 r^3 / 3 (Archimedes, The Method), whose skin is 16 r^2.
    r = 3.0
    one, other = StraightPath(60, (-30, 0, 0)), StraightPath(60, (0, -30, 0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))
    level = rod("one", 2 * r, one), rod("two", 2 * r, other)
    assert level_with(*level)
    volume, skin = union(*level)
    assert volume == pytest.approx(2 * math.pi * r * r * 60 - 16 * r**3 / 3, rel=5e-3)
    assert skin == pytest.approx(2 * (2 * math.pi * r * 60 + 2 * math.pi * r * r) - 16 * r * r, rel=0.01)
    # The same with a rod that stands upright, whose sections are asked place by place.
    upright = rod("three", 2 * r, StraightPath(60, (0, 0, -30), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)))
    assert not level_with(level[0], upright)
    assert union(level[0], upright)[0] == pytest.approx(volume, rel=5e-3)


def test_three_in_one_place_count_once() -> None:
    same = [rod(name, 6, StraightPath(40)) for name in ("one", "two", "three")]
    assert union(*same)[0] == pytest.approx(math.pi * 9 * 40, rel=1e-5)


def test_ovals_and_squarer_sections_by_columns() -> None:
    # A rod of 4 x 4 mm within a squarer one of 10 x 8 mm, half of it beside.
    outer = rod("outer", 10, StraightPath(40), 8, Section(3.0, 4.0))
    inner = rod("inner", 2, StraightPath(40, (0, 1.0, 0.5)))
    assert share_within(inner, np.array([5.0, 30.0]), [outer]) == pytest.approx(1)
    half = rod("half", 2, StraightPath(80, (0, 1.0, 0.5)))
    assert share_within(half, np.array([20.0, 60.0]), [outer]) == pytest.approx([1, 0])


def test_a_bent_rod_through_a_straight_one() -> None:
    strands = tail(curl(180, 12, 12), 5, 5), rod("two", 8, StraightPath(60, (-30, 0, 0)))
    volume, skin = union(*strands)
    solid = joined(strands, 0.01)
    assert volume == pytest.approx(solid.volume, rel=3e-3)
    assert skin == pytest.approx(solid.surface, rel=0.01)


def test_what_lies_on_the_inside_of_a_turn_is_less() -> None:
    """A half ring around a rod as thick as its middle line is wide: the rod holds all of its inner half.

    Pappus and Guldin: the half disc's middle lies 4 r / 3 pi beyond the middle line, so outside of the rod there are
    pi (R + 4 r / 3 pi) pi r^2 / 2. Halves of even sections would make that pi R pi r^2 / 2, a fifth less.
    """
    r, middle, length = 5.0, 10.0, 30.0
    handle = middle * 4 * (math.sqrt(2) - 1)
    knots = (
        Knot((0, -middle, 0), (1, 0, 0), after=handle),
        Knot((middle, 0, 0), (0, 1, 0), before=handle, after=handle),
        Knot((0, middle, 0), (-1, 0, 0), before=handle),
    )
    upright = StraightPath(length, (0.0, 0.0, -length / 2), (0.0, 0.0, 1.0))
    volume, _ = union(rod("rod", 2 * middle, upright), rod("ring", 2 * r, HermitePath(knots, (0.0, 0.0, 1.0))))
    outer = math.pi * (middle + 4 * r / (3 * math.pi)) * math.pi * r * r / 2
    assert volume - math.pi * middle * middle * length == pytest.approx(outer, rel=0.01)


def test_a_handed_strand_counts_as_its_counterpart() -> None:
    left = tail(curl(120, 10, 10), 4, 2)
    right = left.handed("right")
    away = rod("rod", 6, StraightPath(60, (-30, 0, 0)))
    volume, _ = union(away, left, right)
    assert volume == pytest.approx(joined((away, left, right), 0.01).volume, rel=3e-3)


@pytest.mark.parametrize("path", [space_curve(), quarter(10), curl(300, 8, 8), HandedPath(space_curve())])
def test_beside_tells_what_points_were_offset_from(path: Path) -> None:
    rng = np.random.default_rng(1)
    station = rng.uniform(0.2, path.length - 0.2, 2000)
    aside, upward = rng.uniform(-2, 2, (2, 2000))
    points, left, back = path.frames(station)
    at = path.beside(points + aside[:, None] * left + upward[:, None] * back)
    for told, true in ((at.station, station), (at.left, aside), (at.back, upward)):
        assert np.percentile(np.abs(told - true), 98) < 0.02
        assert np.abs(told - true).max() < 0.5
    assert at.past.max() == 0


def test_past_an_end_is_told() -> None:
    for path in (quarter(10), StraightPath(12, (1, 2, 3), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0))):
        ends = path.frames(np.array([0.0, path.length]))
        beyond = ends[0] + np.array([[-3.0], [3.0]]) * np.cross(ends[1], ends[2])
        at = path.beside(beyond)
        assert at.past == pytest.approx([3, 3], rel=0.05)
        assert at.station == pytest.approx([0, path.length])


def test_inside_agrees_with_outside() -> None:
    strand = tail(space_curve(), 6, 3)
    points = np.random.default_rng(2).uniform([-5, -5, -10], [60, 50, 15], (20000, 3))
    quick, exact = inside(strand, points), outside(strand, points, relief=True) < 0
    assert exact.sum() > 200
    assert (quick != exact).sum() < 0.02 * exact.sum()
