"""Paths of straight stretches and arcs: closed forms, and the cubic path as a second opinion."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.styles.limbed import strands_of
from worker.solid.trunk import solid_of
from worker.strands.bent_path import BentPath, Stretch
from worker.strands.girth import Girth
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.strands.vectors import cross, dot, norm

PATH = BentPath((Stretch(20.0), Stretch(30.0, 60.0), Stretch(8.0), Stretch(12.0, -25.0)), (3.0, 0.0, 1.0))
STATIONS = PATH.length * np.arange(281) / 280


def test_a_quarter_turn_down_ends_a_radius_on_and_a_radius_below() -> None:
    radius = 12.0
    path = BentPath((Stretch(10.0), Stretch(radius * math.pi / 2, 90.0)))
    points, left, back = path.frames(np.array([0.0, 10.0, path.length]))
    assert points[1:] == pytest.approx(np.array([[10.0, 0.0, 0.0], [10 + radius, 0.0, -radius]]), abs=1e-12)
    assert back[2] == pytest.approx([1.0, 0.0, 0.0], abs=1e-12), "what was the back looks ahead"
    assert left == pytest.approx(np.array([[0.0, 1.0, 0.0]] * 3))
    assert norm(path.curvature(np.array([5.0, 12.0]))) == pytest.approx([0.0, 1 / radius])


def test_frames_are_square_unit_and_follow_the_path() -> None:
    points, left, back = PATH.frames(STATIONS)
    ahead = cross(left, back)
    for one in (left, back, ahead):
        assert norm(one) == pytest.approx(np.ones(len(one)))
    assert dot(left, back) == pytest.approx(np.zeros(len(left)), abs=1e-12)
    steps = np.diff(points, axis=0)
    assert norm(steps) == pytest.approx(np.diff(STATIONS), rel=1e-3)
    assert dot(steps, ahead[:-1] + ahead[1:]) / 2 == pytest.approx(np.diff(STATIONS), rel=1e-4)


def test_the_nearest_place_of_a_point_beside_the_path_is_where_it_came_from() -> None:
    points, left, back = PATH.frames(STATIONS)
    chance = np.random.default_rng(5)
    aside, up = chance.uniform(-4, 4, (2, len(points), 1))
    assert PATH.nearest(points + aside * left + up * back) == pytest.approx(STATIONS, abs=1e-9)
    there = PATH.beside(points + aside * left + up * back)
    assert (there.left, there.back) == (pytest.approx(aside[:, 0]), pytest.approx(up[:, 0]))
    assert there.past == pytest.approx(np.zeros(len(points)), abs=1e-9)
    assert PATH.nearest(np.array([[-50.0, 0.0, 1.0]])) == pytest.approx([0.0])


@pytest.mark.parametrize(
    "stretches",
    [
        (Stretch(20.0), Stretch(30.0, 60.0), Stretch(8.0), Stretch(12.0, -25.0)),
        (Stretch(25.0, 40.0), Stretch(25.0, -70.0)),
        (Stretch(40.0, 250.0), Stretch(5.0)),
        (Stretch(30.0),),
    ],
)
def test_any_point_lies_beside_the_nearest_place_of_many(stretches: tuple[Stretch, ...]) -> None:
    """Against 20,000 places along the path, none of which is nearer; and a frame there leads back to the point."""
    path = BentPath(stretches, (1.0, 2.0, 3.0), (0.6, 0.0, 0.8))
    places = path.frames(path.length * np.arange(20_001) / 20_000)[0]
    low, high = places.min(axis=0) - 15.0, places.max(axis=0) + 15.0
    points = np.random.default_rng(7).uniform(low, high, (300, 3))
    told = path.beside(points)
    middles, left, back = path.frames(told.station)
    nearest = np.array([norm(places - point).min() for point in points])
    assert (norm(points - middles) <= nearest + 1e-9).all()
    over = points - middles - told.left[:, None] * left - told.back[:, None] * back
    assert norm(over) == pytest.approx(told.past, abs=1e-9), "what is left lies ahead or behind"
    ends = (told.station == 0) | (told.station == path.length)
    assert ends.any()
    assert (told.past[~ends] == 0).all()
    assert (told.past[ends] > 0).all()
    assert told.station == pytest.approx(path.nearest(points), abs=1e-9)


def test_its_curve_is_the_same_path() -> None:
    curve = PATH.as_curve()
    assert curve.length == pytest.approx(PATH.length, abs=1e-4)
    for own, other in zip(PATH.frames(STATIONS), curve.frames(STATIONS), strict=True):
        assert own == pytest.approx(other, abs=2e-4)


@pytest.mark.parametrize("sag", [0.01, 0.001])
def test_no_chord_of_its_stations_sags_by_more_than_asked(sag: float) -> None:
    given = np.array([0.0, 20.0, PATH.length])
    stations = PATH.subdivided(given, sag, 4.0)
    assert np.isin(given, stations).all() and (np.diff(stations) > 0).all()
    outer = [PATH.frames(at)[0] + 4.0 * PATH.frames(at)[2] for at in (stations, (stations[1:] + stations[:-1]) / 2)]
    chords = (outer[0][1:] + outer[0][:-1]) / 2
    assert norm(outer[1] - chords).max() < sag * 1.05


def test_a_bent_rod_has_the_volume_of_the_straight_one() -> None:
    # Pappus and Guldin; and of two round ends 4/3 pi r^3.
    rod = Strand("rod", "trunk", PATH, Girth.circular((0.0, 6.0), (1.0, 6.0)), Plain((3.0, 3.0)))
    exact = math.pi * 9 * (PATH.length - 6) + 4 / 3 * math.pi * 27
    assert solid_of(rod, 0.02).volume == pytest.approx(exact, rel=2e-4)


def test_a_station_at_the_end_of_a_stretch_is_not_put_there_twice() -> None:
    """A face stood there that was walked over three times, flat in itself: its stations are rounded, a path's not."""
    path = BentPath((Stretch(20.123456789123), Stretch(30.0, 60.0)))
    station = path.subdivided(np.array([0.0, 20.123456789, path.length]), 1e-3, 4.0)
    assert np.diff(station).min() > 1e-4
    assert 20.123456789 in station


def test_a_shrimp_with_an_edge_where_its_arch_begins_does_not_fold() -> None:
    trunk = solid_of(strands_of("shrimp", plate_depth=1.044)["trunk"], 0.05)
    corners = trunk.vertices[trunk.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    edge = np.ptp(corners[:, :, 0], axis=1) < 1e-9  # upright faces of the level stretch: edges look to the tail
    assert edge.sum() > 0
    assert (normals[edge, 0] > 0).all()
