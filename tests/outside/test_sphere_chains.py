"""Overlapping spheres, sharp and with rolling-ball rounds: outline, estimate and mesh against exact forms.

Sphere-sphere intersection: MathWorld, "Sphere-Sphere Intersection", equations 5 to 17, and CRC Standard Mathematical
Tables (archive.lib.msu.edu/crcmath, s563). Rolling ball between two spheres: plane geometry of three touching circles;
volumes of the rounds by Pappus and cross-checked by quadrature. Meshes are held to 0.1 % in volume, 0.5 % in a neck.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.outside.made import Made, asked, made, spheres, volume
from worker.estimate import estimate
from worker.strands.closing import close
from worker.strands.humps import EllipticHumps
from worker.strands.outline import BLEND
from worker.strands.roots import Array

MESH = 1e-3
NECK = 5e-3


def lens(radius: float, distance: float) -> float:
    """What two equal spheres share (MathWorld eq. 17): pi (4R + d)(2R - d)^2 / 12."""
    return math.pi * (4 * radius + distance) * (2 * radius - distance) ** 2 / 12


def neck_radius(radius: float, distance: float) -> float:
    """Circle in which two equal spheres meet (MathWorld eq. 9): sqrt(R^2 - d^2/4)."""
    return math.sqrt(radius**2 - distance**2 / 4)


def chain_volume(count: int, radius: float, distance: float) -> float:
    """N spheres less N - 1 lenses: right even where spheres overlap that are not neighbours."""
    return count * 4 / 3 * math.pi * radius**3 - (count - 1) * lens(radius, distance)


def chain_area(count: int, radius: float, distance: float) -> float:
    """Surface left: each sphere less the caps at its joints."""
    return count * 4 * math.pi * radius**2 - (count - 1) * 4 * math.pi * radius * (radius - distance / 2)


def test_the_formulas_give_the_tabled_values() -> None:
    assert lens(5, 8) == pytest.approx(28 * math.pi / 3)
    assert neck_radius(5, 8) == pytest.approx(3)
    assert chain_volume(6, 5, 8) == pytest.approx(2994.984996, rel=1e-9)
    assert chain_volume(6, 5, 3) == pytest.approx(1666.353103, rel=1e-9)
    assert chain_area(6, 5, 8) == pytest.approx(500 * math.pi)
    assert chain_area(6, 5, 3) == pytest.approx(250 * math.pi)


@pytest.mark.parametrize(("count", "distance"), [(6, 8.0), (15, 3.0), (9, 6.5)])
def test_a_chain_asked_for_as_a_bait(count: int, distance: float) -> None:
    params = {"length": 10 + (count - 1) * distance, "bead_diameter": 10, "bead_count": count, "joint_blend": 0}
    request = asked("beaded_worm", params)
    metrics, bait = estimate(request)["metrics"], made(request)
    assert metrics["volume_mm3"] == pytest.approx(chain_volume(count, 5, distance), rel=1e-5)
    assert metrics["surface_mm2"] == pytest.approx(chain_area(count, 5, distance), rel=1e-5)
    areas = [joint["area_mm2"] for joint in metrics["joints"]]
    assert areas == pytest.approx([math.pi * neck_radius(5, distance) ** 2] * (count - 1), rel=1e-5)
    # Necks half-way between the centres (MathWorld eq. 5 with equal radii).
    stations = [joint["station_mm"] for joint in metrics["joints"]]
    assert stations == pytest.approx([5 + distance * (i + 0.5) for i in range(count - 1)], rel=1e-5)
    assert volume(bait.solid) == pytest.approx(chain_volume(count, 5, distance), rel=MESH)
    assert bait.solid.surface == pytest.approx(chain_area(count, 5, distance), rel=0.01)
    assert bait.section_area(stations[1]) == pytest.approx(areas[1], rel=NECK)


@pytest.mark.parametrize(("share", "distance", "lens_share"), [  # a/R, d/R, lens over sphere
    (0.5, 1.732051, 0.025721), (0.6, 1.6, 0.056000), (0.7, 1.428286, 0.110892), (0.8, 1.2, 0.208000),
])  # fmt: skip
def test_neck_over_radius_against_distance_over_radius(share: float, distance: float, lens_share: float) -> None:
    pair = spheres(2, 5, 5 * distance)
    assert pair.body.side.gaps.height[0] == pytest.approx(5 * share, rel=1e-5)
    sphere = 4 / 3 * math.pi * 125
    assert 2 - pair.size.volume / sphere == pytest.approx(lens_share, abs=2e-6)


def test_unequal_spheres_meet_where_they_should() -> None:
    """R = 5, r = 3, d = 6: plane at 13/3 from the larger centre, neck 2.494438; 13-15-14: plane 5, neck 12."""
    row = close(EllipticHumps(np.array([5.0, 11.0]), np.array([5.0, 3.0]), np.array([5.0, 3.0])), 0.0)
    assert row.gaps.station[0] - 5 == pytest.approx(13 / 3)
    assert row.gaps.height[0] == pytest.approx(2.494438, abs=5e-7)
    row = close(EllipticHumps(np.array([13.0, 27.0]), np.array([13.0, 15.0]), np.array([13.0, 15.0])), 0.0)
    assert row.gaps.station[0] - 13 == pytest.approx(5)
    assert row.gaps.height[0] == pytest.approx(12)


# R1, R2, d, ball, Y (ball's centre), neck, touching point on sphere 1 from its centre, total volume, added volume.
ROUNDS = [
    (5, 5, 8, 3.5, 7.5, 4.0, (2.352941, 4.411765), 1042.915585, 25.039566),
    (5, 5, 12, 5, 8.0, 3.0, (3.0, 4.0), None, None),
    (5, 5, 8, 2, 5.744563, 3.744563, (2.857143, 4.103259), 1030.590552, 12.714532),
    (5, 5, 12, 3, 5.291503, 2.291503, (3.75, 3.307189), 1099.215805, 52.018254),
    (5, 3, 7, 2, 4.670249, 2.670249, (3.724490, 3.335892), 641.153628, 10.030103),
]


def _area_integral(x: Array, y: Array) -> float:
    return float(np.trapezoid(np.pi * y * y, x))


@pytest.mark.parametrize(("one", "two", "distance", "ball", "centre", "neck", "touch", "total", "added"), ROUNDS)
def test_a_rolling_ball_between_two_spheres(
    one: float, two: float, distance: float, ball: float, centre: float, neck: float,
    touch: tuple[float, float], total: float | None, added: float | None,
) -> None:  # fmt: skip
    radii = np.array([one, two], dtype=float)
    row = close(EllipticHumps(np.array([0.0, distance]), radii, radii), ball)
    piece = int(np.flatnonzero(row.pieces.kind == BLEND)[0])
    assert row.pieces.centre_y[piece] == pytest.approx(centre, abs=6e-7)
    assert row.gaps.height[0] == pytest.approx(neck, abs=6e-7)
    assert row.pieces.begin[piece] == pytest.approx(touch[0], abs=6e-7)
    assert row.height(np.array([touch[0]]))[0] == pytest.approx(touch[1], abs=2e-6)
    if total is not None and added is not None:
        # Sine-bunched trapezoids over the whole outline: no quadrature of the product's.
        turn = np.linspace(0, math.pi, 400_001)
        x = -one + (one + distance + two) * (1 - np.cos(turn)) / 2
        measured = _area_integral(x, row.height(x))
        assert measured == pytest.approx(total, rel=1e-6)
        bare = close(EllipticHumps(np.array([0.0, distance]), radii, radii), 0.0)
        assert measured - _area_integral(x, bare.height(x)) == pytest.approx(added, rel=1e-5)


@pytest.mark.parametrize(("distance", "ball", "neck", "added"), [
    (8, 3.5, 4.0, 25.039566), (8, 2, 3.744563, 12.714532), (12, 3, 2.291503, 52.018254),
])  # fmt: skip
def test_rounds_of_a_whole_chain_in_arithmetic_and_in_the_mesh(
    distance: float, ball: float, neck: float, added: float
) -> None:
    """Each joint adds its round; spheres 12 mm apart hang together by their rounds alone."""
    count = 7
    apart = distance > 10
    bare = count * 4 / 3 * math.pi * 125 if apart else chain_volume(count, 5, distance)
    exact = bare + (count - 1) * added
    chain = spheres(count, 5, distance, ball)
    assert chain.size.volume == pytest.approx(exact, rel=1e-6)
    assert volume(chain.solid) == pytest.approx(exact, rel=MESH)
    assert len(chain.solid.parts) == 1
    between = 5 + distance * 1.5
    assert chain.section_area(between) == pytest.approx(math.pi * neck**2, rel=NECK)
    assert chain.body.area(np.array([between]))[0] == pytest.approx(math.pi * neck**2, rel=1e-6)


@pytest.mark.parametrize("ball", [2.0, 3.0])
def test_rounds_asked_for_as_a_bait(ball: float) -> None:
    distance, count = 8.0, 6
    centre = math.sqrt((5 + ball) ** 2 - 16)
    request = asked("beaded_worm", {"length": 50, "bead_diameter": 10, "bead_count": count, "joint_blend": ball})
    joints = estimate(request)["metrics"]["joints"]
    assert [joint["area_mm2"] for joint in joints] == pytest.approx([math.pi * (centre - ball) ** 2] * 5, rel=1e-5)
    assert made(request).section_area(5 + distance / 2) == pytest.approx(math.pi * (centre - ball) ** 2, rel=NECK)


@pytest.mark.parametrize(("neck", "distance"), [(4.0, 8.0), (3.5, 8.0), (3.0, 9.0), (2.0, 11.0)])
def test_the_ball_that_leaves_a_wanted_neck(neck: float, distance: float) -> None:
    """Inverse for equal spheres: rho = (n^2 + d^2/4 - R^2) / (2 (R - n))."""
    ball = (neck**2 + distance**2 / 4 - 25) / (2 * (5 - neck))
    assert spheres(3, 5, distance, ball).body.side.gaps.height == pytest.approx([neck, neck])


def test_the_throat_alone() -> None:
    """Half-length H = rho (d/2) / (R + rho) of the round; its volume for 5, 5, 8, 3.5 is 177.000655."""
    half = 3.5 * 4 / 8.5
    throat = 2 * math.pi * half * 7.5**2 + 2 * math.pi * half * 3.5**2 - 2 * math.pi * half**3 / 3
    throat -= 2 * 7.5 * math.pi * (half * math.sqrt(3.5**2 - half**2) + 3.5**2 * math.asin(half / 3.5))
    assert throat == pytest.approx(177.000655, rel=1e-8)
    outline = spheres(2, 5, 8, 3.5).body.side
    x = np.linspace(9 - half, 9 + half, 200_001)
    assert _area_integral(x, outline.height(x)) == pytest.approx(throat, rel=1e-8)


@pytest.mark.parametrize("tolerance", [0.01, 0.02, 0.05, 0.1])
def test_a_coarser_mesh_keeps_volume_and_length(tolerance: float) -> None:
    chain: Made = spheres(6, 5, 8, 0.8, tolerance)
    assert volume(chain.solid) == pytest.approx(chain.size.volume, rel=MESH)
    assert chain.solid.extent[0] == pytest.approx(50, abs=0.02)


def test_mass_of_the_chain() -> None:
    """N = 6, R = 5, d = 8 at 1.05 g/cm3: 3.144734 g (the firm plastic's typical density is 1.05)."""
    params = {"length": 50, "bead_diameter": 10, "bead_count": 6, "joint_blend": 0}
    metrics = estimate(asked("beaded_worm", params, plastic={"grade": "firm"}))["metrics"]
    assert metrics["mass_g"] == pytest.approx(3.144734, rel=1e-5)
