"""The flare of a strand into its parent against a ball that rolls around the root."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from worker.solid.join import joined
from worker.strands.attach import RootOutside, attach, outside
from worker.strands.flare import Rolling
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand


def slab() -> Strand:
    """A parent so broad that its side is a plane to what grows out of it."""
    girth = Girth.oval((0.0, 2000.0, 20.0), (1.0, 2000.0, 20.0))
    return Strand("slab", "trunk", StraightPath(60), girth, Plain((0.0, 0.0)))


def trunk(diameter: float) -> Strand:
    """A round parent along x."""
    girth = Girth.circular((0.0, diameter), (1.0, diameter))
    return Strand("trunk", "trunk", StraightPath(60), girth, Plain((0.0, 0.0)))


def leg(diameter: float, way: tuple[float, float, float], length: float = 30.0) -> Strand:
    """A round rod that starts on the parent's path, 30 mm from its nose."""
    x, y, z = way
    knots = (Knot((30, 0, 0), way), Knot((30 + length * x, length * y, length * z), way))
    path = HermitePath(knots, (0, 1, 0) if abs(y) < 0.9 else (-1, 0, 0))
    return Strand("leg", "leg", path, Girth.circular((0.0, diameter), (1.0, diameter)), Plain((0.0, 0.0)))


def test_a_rod_on_a_plane_gains_what_a_ball_leaves_around_it() -> None:
    # Volume between the rod and the quarter circle of the ball, turned around the rod: an integral of circles' areas.
    rod, ball = 2.0, 1.5
    exact, _ = quad(lambda h: math.pi * ((rod + ball - math.sqrt(ball**2 - (ball - h) ** 2)) ** 2 - rod**2), 0, ball)
    parent, plain = slab(), leg(4.0, (0.0, 0.0, 1.0))
    flared = attach(plain, parent, ball)
    assert flared.root is not None
    assert flared.root.leaves == pytest.approx(10, abs=1e-4)
    assert flared.root.station == pytest.approx(30)
    # 5 % is what a round of another kernel is held to; the flare itself is exact here but for the parent's slight bend.
    added = joined([parent, flared], 0.02).volume - joined([parent, plain], 0.02).volume
    assert added == pytest.approx(exact, rel=0.01)


@pytest.mark.parametrize(("parent", "ball"), [(20.0, 1.5), (8.0, 1.5), (8.0, 0.5)])
def test_the_parent_is_felt_as_a_plane_along_it_and_as_a_circle_across(parent: float, ball: float) -> None:
    flared = attach(leg(4.0, (0.0, 1.0, 0.0)), trunk(parent), ball)
    assert flared.root is not None
    assert flared.root.leaves == pytest.approx(parent / 2, abs=1e-4)
    assert flared.root.bend_side == pytest.approx(0, abs=1e-3)
    assert flared.root.bend_height == pytest.approx(2 / parent, rel=0.01)


def test_the_ball_touches_both_surfaces() -> None:
    strand, ball, parent = 2.0, 1.5, 4.0
    at_rest = Rolling.beside(strand, ball, 1 / parent)
    assert at_rest is not None
    # The ball's centre is one radius from the rod and one from the parent's circle, whose middle lies 4 mm below.
    assert math.hypot(parent + at_rest.centre, strand + ball) == pytest.approx(parent + ball)
    # The touching point lies on the parent's circle and on the ball.
    assert math.hypot(parent + at_rest.touch, at_rest.wide) == pytest.approx(parent)
    assert math.hypot(at_rest.touch - at_rest.centre, at_rest.wide - strand - ball) == pytest.approx(ball)


def test_no_ball_rests_beside_a_strand_as_thick_as_its_parent() -> None:
    assert Rolling.beside(4.2, 1.0, 1 / 4.0) is None


def test_the_flare_hands_over_smoothly_and_ends_inside_its_parent() -> None:
    parent = trunk(12)
    flared = attach(leg(3.0, (0.0, 1.0, 0.0)), parent, 1.0)
    assert flared.root is not None
    station = np.linspace(0, flared.path.length, 3001)
    half = flared.body.half_sizes(station)[0]
    assert np.abs(np.diff(half)).max() < 0.3, "no step"
    assert half[-1] == pytest.approx(1.5)
    # Below where the ball touches, the root keeps its width, inside of the parent.
    points, left, back = flared.path.frames(np.array([2.0]))
    half_width, half_height = flared.body.half_sizes(np.array([2.0]))
    rim = np.concatenate([points + half_width * left, points - half_width * left, points + half_height * back])
    assert (outside(parent, rim) < 0).all()


def test_a_blend_of_nothing_changes_nothing() -> None:
    plain = leg(3.0, (0.0, 1.0, 0.0))
    assert attach(plain, trunk(12), 0.0).body is not None
    assert attach(plain, trunk(12), 0.0).body.side.pieces.kind.tolist() == plain.body.side.pieces.kind.tolist()


def test_a_root_outside_of_its_parent_is_refused() -> None:
    away = Strand("leg", "leg", StraightPath(20, (0, 50, 0)), Girth.circular((0.0, 3.0), (1.0, 3.0)), Plain((0.0, 0.0)))
    with pytest.raises(RootOutside):
        attach(away, trunk(12), 1.0)


def test_a_strand_that_never_leaves_its_parent_is_refused() -> None:
    with pytest.raises(RootOutside):
        attach(leg(3.0, (0.0, 1.0, 0.0), length=4.0), trunk(12), 1.0)
