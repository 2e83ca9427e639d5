"""Undercuts of shapes whose answer is known in closed form: a sphere on and off its equator, a tilted rod, a bore.

Sphere of radius r whose middle lies c off the parting plane: the lines that lie behind are those beyond the circle in
which the plane cuts it, so area pi r2 - pi (r2 - c2) = pi c2 and depth r - sqrt(r2 - c2). Rod of radius r, its axis
tilted by the angle t about y through the origin, flat-ended far away and cut off in plan at |x| = X: a line at (x, y)
meets it from x tan t - sqrt(r2 - y2) / cos t to x tan t + sqrt(r2 - y2) / cos t, so nothing lies behind where
|x| sin t < sqrt(r2 - y2); behind lie 4 r X - pi r2 / sin t. Geometry; no other source is needed.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from worker.mould.columns import Columns, columns_of, distance_off
from worker.mould.parting import least_undercut
from worker.mould.undercut import Undercut, undercuts
from worker.mould.widths import local_width
from worker.strands.roots import Array

CELL, GAP = 0.1, 0.05


def columns(mesh: trimesh.Trimesh) -> Columns:
    return columns_of(np.asarray(mesh.vertices), np.asarray(mesh.faces), CELL)


def halves(mesh: trimesh.Trimesh) -> tuple[Undercut, Undercut]:
    return undercuts(columns(mesh), GAP)


def sphere(radius: float, height: float) -> trimesh.Trimesh:
    mesh = trimesh.creation.icosphere(5, radius)
    mesh.apply_translation((0.3, 0.2, height))
    return mesh


def cylinder(radius: float, length: float, tilt: float = 0.0, height: float = 0.0) -> trimesh.Trimesh:
    """Along x, tilted about y so that it rises with x; 256 sides of the circle's own area."""
    mesh = trimesh.creation.cylinder(radius, length, sections=256)
    mesh.apply_transform(trimesh.transformations.rotation_matrix(math.pi / 2 - tilt, (0, 1, 0)))
    mesh.apply_translation((0, 0, height))
    return mesh


def test_a_sphere_on_its_equator_has_none() -> None:
    for half in halves(sphere(5, 0)):
        assert half.area == 0
        assert half.worst is None


@pytest.mark.parametrize(("radius", "off"), [(5.0, 2.0), (5.0, 3.0), (8.0, -4.0), (4.0, -3.2)])
def test_a_sphere_off_its_equator(radius: float, off: float) -> None:
    lower, upper = halves(sphere(radius, off))
    behind, free = (upper, lower) if off > 0 else (lower, upper)
    assert free.area == 0
    # Mould thinner than the gap counts for none, so the circle begins where the gap is reached.
    assert behind.area == pytest.approx(math.pi * (abs(off) - GAP) ** 2, rel=0.02)
    depth = radius - math.sqrt(radius * radius - off * off)
    assert behind.depth.max() == pytest.approx(depth, abs=1.5 * CELL)
    assert behind.share.max() == pytest.approx(depth / (2 * radius), abs=1.5 * CELL / (2 * radius))
    assert behind.trapped == 0


@pytest.mark.parametrize("degrees", [20, 35, 50])
def test_a_tilted_rod(degrees: float) -> None:
    radius, reach, tilt = 3.0, 16.0, math.radians(degrees)
    rod = cylinder(radius, 200, tilt)
    cut = trimesh.creation.box((2 * reach, 20, 200))
    lower, upper = halves(trimesh.boolean.intersection([rod, cut], engine="manifold"))
    expected = 4 * radius * reach - math.pi * radius**2 / math.sin(tilt)
    assert lower.area + upper.area == pytest.approx(expected, rel=0.02)
    assert lower.area == pytest.approx(upper.area, rel=0.03)
    assert upper.trapped > 0, "where its axis has left the plane by more than the rod is thick it lies in a tunnel"


def test_a_level_rod_off_the_plane_strips_over_its_flanks() -> None:
    radius, off = 4.0, 2.0
    _, upper = halves(cylinder(radius, 40, height=off))
    depth = radius - math.sqrt(radius**2 - off**2)
    middle = np.abs(np.arange(upper.depth.shape[0]) - upper.depth.shape[0] / 2) < 100
    assert upper.depth[middle].max() == pytest.approx(depth, abs=1.5 * CELL)
    assert upper.width[middle].max() == pytest.approx(2 * radius, rel=0.03)


def test_a_rod_above_the_plane_is_held() -> None:
    lower, upper = halves(cylinder(2, 30, height=5))
    assert lower.area == 0
    assert upper.trapped == pytest.approx(upper.area) == pytest.approx(4 * 30, rel=0.02)


def test_a_bore_is_held_and_its_walls_are_not() -> None:
    """A pin of the halves' own in a bore of 3 mm through 12 mm of plastic: half of it in each half, plastic around."""
    tube = trimesh.boolean.difference([cylinder(6, 40), cylinder(1.5, 60)], engine="manifold")
    lower, upper = halves(tube)
    assert lower.area == pytest.approx(3 * 40, rel=0.03)
    # The first half width from each end is stripped over; between them it is enclosed.
    assert upper.trapped == pytest.approx(3 * (40 - 12), rel=0.08)


def test_the_search_finds_the_plane_through_the_widest_places() -> None:
    """A sphere whose equator lies 1.2 mm over the line from nose to tail: what is left to strip is a hair's breadth."""
    found = least_undercut(*_mesh(sphere(6, 1.2)))
    off = 1.2 - found.height
    assert found.turn == 0
    assert 6 - math.sqrt(36 - off * off) < 0.03


def test_the_search_turns_the_plane_into_a_slanted_fork() -> None:
    """Two rods side by side in a plane that leans by 30 degrees: that plane goes through both axes, no other does."""
    rods = []
    for aside in (-8.0, 8.0):
        rod = cylinder(2, 40)
        lean = math.radians(30)
        rod.apply_translation((0, aside * math.cos(lean), aside * math.sin(lean)))
        rods.append(rod)
    found = least_undercut(*_mesh(trimesh.util.concatenate(rods)))
    assert found.turn == 30
    assert found.height == pytest.approx(0, abs=0.1)


def _mesh(mesh: trimesh.Trimesh) -> tuple[Array, np.ndarray]:
    return np.asarray(mesh.vertices), np.asarray(mesh.faces)


@pytest.mark.parametrize("across", [1.0, 2.4, 9.0])
def test_the_width_of_a_strip_and_of_a_disc(across: float) -> None:
    size = round(across / CELL)
    strip = np.zeros((400, size + 40), dtype=bool)
    strip[20:-20, 20 : 20 + size] = True
    inner = strip.copy()
    inner[:100] = inner[-100:] = False
    assert local_width(distance_off(strip), inner, CELL)[inner] == pytest.approx(across, abs=2 * CELL)
    x = np.arange(size + 40) - (size + 39) / 2
    disc = x[:, None] ** 2 + x[None, :] ** 2 < (size / 2) ** 2
    # Its middle lies between four squares: each misses 0.7 of one to it, and half a one to the rim.
    assert local_width(distance_off(disc), disc, CELL).max() == pytest.approx(across, abs=2.5 * CELL)


def test_the_width_of_a_wedge_and_at_a_square_end() -> None:
    """In a wedge with a half angle a, a disc whose middle is u from the point has the radius u sin(a): the greatest of
    which a place at (x, y) is 1.2 radii away is a root of (u - x)^2 + y^2 = (1.2 u sin(a))^2. A bar is as wide at its
    corner, and where it bears a low rib.
    """
    half = math.radians(12)
    wedge = np.abs(np.arange(400) - 199.5)[None, :] < (np.arange(800) + 0.5)[:, None] * math.tan(half)
    for row, column in ((150, 200), (150, 200 + int(149 * math.tan(half)))):
        wanted = np.zeros_like(wedge)
        wanted[row, column] = True
        x, y, near = row + 0.5, column - 199.5, 1.2 * math.sin(half)
        greatest = max(np.roots([1 - near**2, -2 * x, x * x + y * y]))
        assert local_width(distance_off(wedge), wanted, 1)[wanted] == pytest.approx(
            2 * greatest * math.sin(half), rel=0.04
        )
    bar = np.zeros((300, 120), dtype=bool)
    bar[20:280, 30:90] = bar[140:144, 26:94] = True
    corner_and_rib = np.zeros_like(bar)
    corner_and_rib[20:23, 30:33] = corner_and_rib[140:144, 26:30] = True
    assert local_width(distance_off(bar), corner_and_rib, 1)[corner_and_rib] == pytest.approx(60, abs=2)


def test_columns_keep_the_volume_and_notice_a_hole() -> None:
    mesh = sphere(5, 0)
    assert columns(mesh).volume == pytest.approx(mesh.volume, rel=2e-4)
    from worker.errors import GeometryFailed

    open_mesh = np.asarray(mesh.vertices), np.asarray(mesh.faces)[:-40]
    with pytest.raises(GeometryFailed, match="open"):
        columns_of(*open_mesh, CELL)
