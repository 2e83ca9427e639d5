"""Curved paths: length, frames and turns against closed forms."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import HandedPath, StraightPath
from worker.strands.vectors import cross, dot, norm

# tangent of a cubic that runs closest to a quarter circle of radius 1: 3 x 4 (sqrt 2 - 1) / 3
QUARTER = 4 * (math.sqrt(2) - 1)


def quarter(radius: float) -> HermitePath:
    """A quarter turn to the left in the plane."""
    handle = QUARTER * radius
    return HermitePath(
        (Knot((0, 0, 0), (1, 0, 0), after=handle), Knot((radius, radius, 0), (0, 1, 0), before=handle)),
    )


def space_curve() -> HermitePath:
    """Three knots, turning every way, speeds that differ on both sides of the middle one."""
    return HermitePath(
        (
            Knot((0, 0, 0), (1, 0, 0), after=30),
            Knot((30, 10, 5), (1, 1, 1), before=20, after=35),
            Knot((50, 40, -5), (0, 1, -1), before=25),
        )
    )


def test_a_curve_along_a_line_has_the_length_of_the_line() -> None:
    path = HermitePath((Knot((1, 2, 3), (2, 2, 1)), Knot((21, 22, 13), (2, 2, 1))))
    assert path.length == pytest.approx(30, abs=1e-9)
    points, _, _ = path.frames(np.array([0.0, 12.0, 30.0]))
    assert points == pytest.approx(np.array([[1, 2, 3], [9, 10, 7], [21, 22, 13]]), abs=1e-9)
    assert norm(path.curvature(np.linspace(0, 30, 7))).max() < 1e-12


def test_the_length_of_a_parabola() -> None:
    # y = x^2 / 2 from 0 to 1 is a Hermite cubic whose tangents are (1, 0) and (1, 1); its length is in every calculus
    # textbook: (sqrt 2 + arsinh 1) / 2.
    path = HermitePath(
        (Knot((0, 0, 0), (1, 0, 0), after=1), Knot((1, 0.5, 0), (1, 1, 0), before=math.sqrt(2))),
    )
    assert path.length == pytest.approx((math.sqrt(2) + math.asinh(1)) / 2, abs=1e-11)
    points, _, _ = path.frames(np.array([0.25, 0.5, 1.0]))
    assert points[:, 1] == pytest.approx(points[:, 0] ** 2 / 2, abs=1e-12)
    # Curvature of y = x^2 / 2: (1 + x^2)^(-3/2).
    assert norm(path.curvature(np.array([0.0]))) == pytest.approx([1.0], abs=1e-9)
    assert norm(path.curvature(np.array([path.length]))) == pytest.approx([2**-1.5], abs=1e-9)


def test_stations_are_lengths_along_the_path() -> None:
    path = space_curve()
    station = np.linspace(0, path.length, 40001)
    steps = norm(np.diff(path.frames(station)[0], axis=0))
    assert steps.sum() == pytest.approx(path.length, rel=1e-7)
    assert np.cumsum(steps) == pytest.approx(station[1:], abs=1e-4)


def test_frames_are_square_and_of_length_one() -> None:
    path = space_curve()
    _, left, back = path.frames(np.linspace(0, path.length, 333))
    for one, other, product in ((left, left, 1), (back, back, 1), (left, back, 0)):
        assert dot(one, other) == pytest.approx(product, abs=1e-12)


def test_frames_do_not_twist() -> None:
    # Rotation-minimising: the direction to the left turns only with the path, never around it (Bishop, There is more
    # than one way to frame a curve, 1975).
    path, step = space_curve(), 1e-4
    station = np.linspace(1, path.length - 1, 200)
    _, _, back = path.frames(station)
    change = (path.frames(station + step)[1] - path.frames(station - step)[1]) / (2 * step)
    assert np.abs(dot(change, back)).max() < 1e-5


def test_a_flat_curve_keeps_its_back_up() -> None:
    path = quarter(10)
    _, left, back = path.frames(np.linspace(0, path.length, 50))
    assert back == pytest.approx(np.tile([0.0, 0.0, 1.0], (50, 1)), abs=1e-12)
    assert left[0] == pytest.approx([0, 1, 0], abs=1e-12)
    assert left[-1] == pytest.approx([-1, 0, 0], abs=1e-9)


def test_chords_stay_within_the_sag() -> None:
    path, sag, reach = space_curve(), 0.01, 3.0
    station = path.subdivided(np.array([0.0, 7.0, path.length]), sag, reach)
    assert {0.0, 7.0, path.length} <= set(station.tolist())
    for begin, end in pairwise(station.tolist()):
        points = path.frames(np.linspace(begin, end, 21))[0]
        chord = points[-1] - points[0]
        away = norm(cross(points - points[0], np.tile(chord, (21, 1)))) / norm(chord[None, :])
        assert away.max() < sag * 1.02
    assert len(station) < 120, "no more rings than the sag asks for"


def test_the_nearest_station_is_the_one_that_a_point_was_offset_from() -> None:
    path = space_curve()
    station = np.linspace(0.5, path.length - 0.5, 60)
    points, left, back = path.frames(station)
    assert path.nearest(points + 1.5 * left - 0.8 * back) == pytest.approx(station, abs=1e-6)


def test_the_other_hand_is_the_same_path_turned_round() -> None:
    path = space_curve()
    station = np.linspace(0, path.length, 30)
    points, left, back = path.frames(station)
    turned, other_left, other_back = HandedPath(path).frames(station)
    assert turned == pytest.approx(points * [1, -1, 1])
    # A frame stays right-handed: left x back points along the path.
    assert cross(other_left, other_back) == pytest.approx(cross(left, back) * [1, -1, 1], abs=1e-12)


def test_a_straight_path_can_start_and_head_elsewhere() -> None:
    path = StraightPath(10, (1, 2, 3), (0.6, 0.8, 0.0), (-0.8, 0.6, 0.0))
    points, left, back = path.frames(np.array([5.0]))
    assert points[0] == pytest.approx([4, 6, 3])
    assert cross(left, back)[0] == pytest.approx([0.6, 0.8, 0])
    assert path.nearest(points + 2 * left) == pytest.approx([5])
