"""Parting faces that follow a body, on bodies whose answer is known in closed form.

Every line along the draw through a convex body, or through one that it meets in a single stretch, has plastic without
air between; a face through all of those stretches leaves nothing behind either half. A rod tilted by the angle t rises
by tan t along the plan and its silhouette is its axis, seen from the side, so the face has that slope. A helix
(x, R cos k x, R sin k x) meets each line once while its turns lie apart in plan, and its axis rises over its own plan
by R k cos k x / sqrt(1 + R2 k2 sin2 k x), at most R k. Level rods one over the other keep what lies between them
behind one half, as wide as the thinner one, whatever the face. Geometry; no other source is needed.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from worker.mould.columns import Columns, columns_of
from worker.mould.face import Face
from worker.mould.following import Strip, following
from worker.mould.undercut import Undercut, undercuts
from worker.strands.roots import Array

CELL, GAP = 0.12, 0.05


def columns(mesh: trimesh.Trimesh) -> Columns:
    return columns_of(np.asarray(mesh.vertices), np.asarray(mesh.faces), CELL)


def halves(of: Columns, face: Face) -> tuple[Undercut, Undercut]:
    return undercuts(face.under(of), GAP)


def area(both: tuple[Undercut, Undercut]) -> float:
    return sum(half.area for half in both)


def rod(radius: float, length: float, tilt: float = 0.0, at: tuple[float, float, float] = (0, 0, 0)) -> trimesh.Trimesh:
    """A capsule along x, tilted by an angle so that it rises with x."""
    mesh = trimesh.creation.capsule(length, radius, count=[64, 96])
    mesh.apply_transform(trimesh.transformations.rotation_matrix(math.pi / 2 - tilt, (0, 1, 0)))
    mesh.apply_translation(at)
    return mesh


def together(*bodies: trimesh.Trimesh) -> trimesh.Trimesh:
    made = trimesh.util.concatenate(list(bodies))
    assert isinstance(made, trimesh.Trimesh)
    return made


def steep_of(face: Face) -> float:
    """Degrees of the steepest of all its triangles, from their corners."""
    z, cell = face.heights, face.cell
    corners = (z[:-1, :-1], z[1:, :-1], z[1:, 1:], z[:-1, 1:])
    right = np.hypot(corners[1] - corners[0], corners[2] - corners[1])
    left = np.hypot(corners[2] - corners[3], corners[3] - corners[0])
    return math.degrees(math.atan(float(np.maximum(right, left).max()) / cell))


@pytest.mark.parametrize("height", [0.0, 2.0, -3.5])
def test_a_sphere_has_no_undercut_wherever_its_equator_lies(height: float) -> None:
    ball = trimesh.creation.icosphere(5, 5)
    ball.apply_translation((0.3, 0.2, height))
    of = columns(ball)
    face = following(of, 60)
    assert area(halves(of, face)) == 0
    around = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    rim = face.at(0.3 + 5 * np.cos(around), 0.2 + 5 * np.sin(around))
    # Off the equator by e the face is cut e2 / 2 r further in: under a tenth of a line here.
    assert rim == pytest.approx(height, abs=0.35)
    assert np.abs(face.heights[[0, -1]]).max() == np.abs(face.heights[:, [0, -1]]).max() == 0


@pytest.mark.parametrize("degrees", [10, 25, 38])
def test_a_tilted_rod_has_none_and_its_face_leans_as_it_does(degrees: float) -> None:
    tilt = math.radians(degrees)
    of = columns(rod(3, 24, tilt))
    flat = 4 * 3 * 12 * math.cos(tilt) - math.pi * 9 / math.sin(tilt)
    assert area(undercuts(of, GAP)) >= max(0.0, flat), "the plane itself leaves the tilted rod's known area behind"
    face = following(of, 60)
    assert area(halves(of, face)) == 0
    x = np.linspace(-9, 9, 37) * math.cos(tilt)
    for side in (3.0, -3.0):
        assert face.at(x, np.full(37, side)) == pytest.approx(x * math.tan(tilt), abs=0.5)


def test_a_helix_has_none_while_its_turns_lie_apart() -> None:
    """Two turns of 60 mm about a circle of 4 mm: its axis rises by 0.42 at most, 23 degrees."""
    radius, around, pitch = 2.0, 4.0, 60.0
    x = np.linspace(0, 2 * pitch, 400)
    angle = 2 * np.pi * x / pitch
    path = np.column_stack([x, around * np.cos(angle), around * np.sin(angle)])
    helix = _swept(path, radius)
    of = columns(helix)
    assert area(undercuts(of, GAP)) > 100
    face = following(of, 60)
    assert area(halves(of, face)) == 0
    inside = (x > 4) & (x < 2 * pitch - 4)
    assert face.at(x[inside], path[inside, 1]) == pytest.approx(path[inside, 2], abs=radius)
    assert math.degrees(math.atan(around * 2 * np.pi / pitch)) == pytest.approx(22.7, abs=0.1)
    assert face.steepest(of.plan, of) <= 60


def _swept(path: Array, radius: float) -> trimesh.Trimesh:
    """Balls along a path, their union's hull from each to the next."""
    ball = trimesh.creation.icosphere(3, radius)
    links = []
    for here, ahead in zip(path[:-1:4], path[4::4], strict=False):
        points = np.concatenate([ball.vertices + here, ball.vertices + ahead])
        links.append(trimesh.convex.convex_hull(points))
    made = trimesh.boolean.union(links, engine="manifold")
    assert isinstance(made, trimesh.Trimesh)
    return made


def test_what_lies_over_one_another_stays_behind() -> None:
    """A rod over a thicker one, 20 mm between its ends' middles: 2 r times that, and a disc."""
    low, high = rod(3, 20, at=(0, 0, -5)), rod(2, 20, at=(0, 0, 5))
    of = columns(together(low, high))
    both = halves(of, following(of, 60))
    assert area(both) == pytest.approx(4 * 20 + math.pi * 4, rel=0.03)


@pytest.mark.parametrize(("steepest", "draws"), [(40, False), (75, True)])
def test_limbs_side_by_side_draw_where_the_slope_between_them_may_be_as_steep(steepest: float, draws: bool) -> None:
    """Level rods 4 mm apart in plan and 6 mm in height: no face under atan(6 / 8) = 37 degrees meets both axes, and
    none under atan(6 / 4) = 56 both silhouettes.
    """
    of = columns(together(rod(2, 20, at=(0, -4, -3)), rod(2, 20, at=(0, 4, 3))))
    face = following(of, steepest)
    assert (area(halves(of, face)) == 0) == draws
    assert face.steepest(of.plan, of) <= steepest + 1e-6
    assert steep_of(face) <= steepest + 1e-6


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("steepest", [30, 60])
def test_no_triangle_is_steeper_than_asked(seed: int, steepest: float) -> None:
    """Rods thrown together at random, whatever becomes of their undercuts."""
    drawn = np.random.default_rng(seed)
    rods = []
    for _ in range(5):
        one = rod(drawn.uniform(0.6, 2), drawn.uniform(5, 15), drawn.uniform(-0.6, 0.6))
        one.apply_transform(trimesh.transformations.rotation_matrix(drawn.uniform(0, 6.28), (0, 0, 1)))
        one.apply_translation(drawn.uniform((-10, -10, -5), (10, 10, 5)))
        rods.append(one)
    of = columns(trimesh.boolean.union(rods, engine="manifold"))
    face = following(of, steepest, [Strip((3.0, -2.0), (6.0, 1e4))])
    # Heights are rounded to 1e-4 mm, over nodes 0.36 mm apart.
    assert math.tan(math.radians(steep_of(face))) <= math.tan(math.radians(steepest)) + 1e-3
    at = np.linspace(-2, 12, 29)
    for x in (3.0, 4.5, 6.0):
        assert np.abs(face.at(np.full(29, x), at)).max() == 0, "a strip stays flat"
    assert following(of, steepest, [Strip((3.0, -2.0), (6.0, 1e4))]).heights.tobytes() == face.heights.tobytes()


def test_a_gentler_face_is_taken_where_it_draws() -> None:
    """A rod tilted by 12 degrees asks for no more than that and the way back to the plane."""
    of = columns(rod(3, 24, math.radians(12)))
    assert following(of, 80).steepest(of.plan, of) <= 30
