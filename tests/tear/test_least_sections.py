"""Minimum cuts of bodies whose least section is known in closed form, measured again on the surface.

Two balls of radius R whose middles are d apart meet in a circle of radius sqrt(R^2 - d^2/4) (MathWorld, "Sphere-Sphere
Intersection", equation 9). Two circles of radii R and r meet over a chord c where their middles are sqrt(R^2 - c^2/4) +
sqrt(r^2 - c^2/4) apart (Pythagoras). The inside of a torus of radii A and a is A - a from its axis.
"""

from __future__ import annotations

import math

import manifold3d
import numpy as np
import pytest

from tests.tear.shapes import Body, ball, found, rod, surface_of
from worker.measures.solid.grid import grid_of
from worker.measures.solid.minimum_cut import DIRECTION_SHARE, STEPS, capacity_of
from worker.measures.solid.peeling import peels
from worker.measures.solid.plane_section import section
from worker.strands.roots import Array

BALL, APART = 5.0, 8.0
NECK = math.pi * (BALL**2 - (APART / 2) ** 2)
ORIENTATIONS = [(0.0, 0.0, 0.0), (0.0, 30.0, 20.0), (35.0, 20.0, 45.0)]


def test_the_directions_share_the_sphere() -> None:
    """A plane of any slope severs ties worth its area: those across an axis in closed form, others to some per cent."""
    count = {1: 6, 2: 12, 3: 8}
    assert sum(count[squared] * share for squared, share in DIRECTION_SHARE.items()) == pytest.approx(1, abs=1e-4)
    assert len(STEPS) == 13 and not {tuple(-part for part in step) for step in STEPS} & set(STEPS)
    for normal in ((1, 0, 0), (1, 1, 0), (1, 1, 1), (3, 2, 1)):
        length = math.sqrt(sum(part * part for part in normal))
        severed = sum(capacity_of(s) * abs(sum(a * b for a, b in zip(s, normal, strict=True))) for s in STEPS)
        assert severed / length / 1e6 == pytest.approx(1, abs=0.08)


@pytest.mark.parametrize("turn", ORIENTATIONS)
def test_neck_of_two_balls(turn: tuple[float, float, float]) -> None:
    """Within 3 % after re-measuring is asked; within 0.3 % it is, the mesh of the balls included."""
    both = (ball(BALL, 0) + ball(BALL, APART)).rotate(turn)
    axis = surface_of(ball(0.01, 1000).rotate(turn)).vertices.mean(axis=0) / 1000

    def along(points: Array) -> Array:
        return np.asarray((points * axis).sum(axis=1))

    at = found(both, lambda points: along(points) > APART, lambda points: along(points) < 0)
    assert at.coarse == pytest.approx(NECK, rel=0.15) and at.fine == pytest.approx(NECK, rel=0.1)
    assert at.flat is not None
    assert at.flat.area == pytest.approx(NECK, rel=3e-3)
    assert at.flat.rim == pytest.approx(2 * math.sqrt(math.pi * NECK), rel=3e-3)
    assert abs(along(at.flat.point[None])[0] - APART / 2) < 0.02
    assert along(at.flat.normal[None])[0] > 0.999, "the normal points to what is lost"


def test_straight_rod() -> None:
    """A rod is as strong everywhere; the cut that loses least is the ends' own edge, and its area exact."""
    at = found(rod(2.0, 30.0), lambda points: points[:, 0] > 25, lambda points: points[:, 0] < 8)
    assert at.flat is not None
    assert at.flat.area == pytest.approx(math.pi * 4, rel=1e-3)  # 160 corners take 0.03 %
    assert at.flat.point[0] <= 25.0


def test_blended_neck() -> None:
    """A round rod of 4 mm with a groove as a torus cuts it: the neck is where the torus comes nearest to the axis."""
    groove = Body.revolve(manifold3d.CrossSection(_circle(5.0, 3.5)), 160).rotate((0, 90, 0)).translate((15, 0, 0))
    body = rod(4.0, 30.0) - groove
    at = found(body, lambda points: points[:, 0] > 25, lambda points: points[:, 0] < 5)
    assert at.flat is not None
    assert at.flat.area == pytest.approx(math.pi * 1.5**2, rel=5e-3)
    assert at.flat.point[0] == pytest.approx(15, abs=0.1)


def _circle(middle: float, radius: float) -> list[list[tuple[float, float]]]:
    angles = [2 * math.pi * step / 120 for step in range(120)]
    return [[(middle + radius * math.cos(a), radius * math.sin(a)) for a in angles]]


def test_seam_of_one_millimetre() -> None:
    """A strand of 3 mm stuck along a core of 8 mm over 25 mm: the cut is the seam, 1 mm wide, and not the strand."""
    core, strand, chord, long = 4.0, 1.5, 1.0, 25.0
    up = math.sqrt(core**2 - chord**2 / 4) + math.sqrt(strand**2 - chord**2 / 4)
    body = rod(core, long, around=400) + rod(strand, long, (0, 0, up), around=200)
    at = found(
        body,
        lambda points: points[:, 2] > up - strand / 3,
        lambda points: points[:, 2] < core / 2,
        cells=60_000,
        across=10,
    )
    assert at.fine == pytest.approx(chord * long, rel=0.2)
    assert at.flat is not None
    assert at.flat.area == pytest.approx(chord * long, rel=0.03)
    assert abs(at.flat.normal[2]) > 0.999


def test_winding_is_exact_where_bodies_are_nested() -> None:
    """A closed pocket is empty, and every cell's middle is told as arithmetic tells it.

    A ball of 200 corners around lies within its radius by at most 1 - cos^2(pi/200), 0.03 %, on both ways of its faces.
    """
    hollow = ball(5.0, 0, around=200) - ball(3.0, 0, around=200)
    surface = surface_of(hollow)
    grid = grid_of(surface.vertices, surface.triangles, 0.4)
    every = grid.middles_of(np.argwhere(np.ones(grid.filled.shape, dtype=bool)))
    away, filled = np.sqrt((every**2).sum(axis=1)), grid.filled.ravel()
    assert not filled[(away > 5.0) | (away < 3.0 * 0.999)].any()
    assert filled[(away < 5.0 * 0.999) & (away > 3.0)].all()


def test_a_section_is_exact_with_its_hole_and_no_other_region() -> None:
    tube = rod(5.0, 20.0) - rod(2.0, 30.0, (-5, 0, 0)) + rod(3.0, 20.0, (0, 20, 0))
    surface, at, x = surface_of(tube), np.array([10.0, 0, 0]), np.array([1.0, 0, 0])
    polygon = 160 / 2 * math.sin(2 * math.pi / 160)  # of a circle of radius 1 by 160 corners
    assert section(surface, at, x, np.array([[10.0, 3.5, 0]])).area == pytest.approx(21 * polygon, rel=1e-4)
    assert section(surface, at, x, np.array([[10.0, 20, 0]])).area == pytest.approx(9 * polygon, rel=1e-4)
    assert section(surface, at, x, np.array([[10.0, 0, 0]])).held == 0
    part = section(surface.near(np.array([10.0, 3.5, 0]), 1.6), at, x, np.array([[10.0, 3.5, 0]]))
    assert part.area == math.inf or part.held == 0, "more than is there"


def test_what_lies_along_a_long_seam_peels_and_what_stands_does_not() -> None:
    even = np.ones(12)
    middle, up, along = np.zeros(3), np.array([0.0, 0, 1]), np.array([1.0, 0, 0])
    lying = np.array([[x, 0.0, z] for x in range(-10, 11) for z in (0.5, 2.0)])
    standing = np.array([[x, 0.0, z] for x in (-2, 0, 2) for z in range(1, 15)])
    assert peels(20.0, even, middle, up, along, lying)
    assert not peels(4.0, even, middle, up, along, standing)
    assert not peels(4.0, 1.5 * even, middle, up, along, lying), "not long for its thickness"
    broken = np.where((np.arange(12) > 3) & (np.arange(12) < 8), 0.0, even)
    assert not peels(20.0, broken, middle, up, along, lying), "held at two places is not held by a seam"
