"""Drag and terminal speeds against worked examples.

Coefficients: Aeronautical Engineer's Data Book, figure 5.13(b), cylinders crosswise on length x diameter and endwise on
the round's area; its square plate 1.17. Speeds in fresh water of 20 C (998.2071 kg/m3), g = 9.80665 m/s2, worked from
v = sqrt(4 g D (rs - r) / (3 Cd r)) of a sphere, sqrt(pi g d (rs - r) / (2 Cd r)) of a rod crosswise and
sqrt(2 g l (rs - r) / (Cd r)) of one endwise.
"""

from __future__ import annotations

import math

import pytest

from worker.measures.water.drag import GRAVITY, crosswise, endwise, terminal_speed

WATER = 998.2071


@pytest.mark.parametrize(("ratio", "coefficient"), [(1, 0.63), (2, 0.68), (5, 0.74), (10, 0.82), (40, 0.98)])
def test_rounds_crosswise(ratio: float, coefficient: float) -> None:
    assert crosswise(ratio, 1) == pytest.approx(coefficient)


@pytest.mark.parametrize(("ratio", "coefficient"), [(1, 0.91), (2, 0.85), (4, 0.87), (7, 0.99)])
def test_rounds_endwise(ratio: float, coefficient: float) -> None:
    assert endwise(ratio) == pytest.approx(coefficient)


def test_plates_and_what_lies_between() -> None:
    assert crosswise(1, 4) == pytest.approx(1.17)
    assert 1.1 <= crosswise(3, 4) <= 1.2
    assert crosswise(8, 1) < crosswise(8, 1.5) < crosswise(8, 2.2) < crosswise(8, 2.5) == crosswise(8, 9)
    # Between two rows neither more nor less than both; a body on its edge is no plate.
    assert 0.74 < crosswise(7, 1) < 0.82
    assert crosswise(7, 0.3) == crosswise(7, 1)


def _sphere(diameter: float, density: float, coefficient: float) -> float:
    net = math.pi / 6 * diameter**3 * (density - WATER / 1000) / 1000
    return terminal_speed(net, coefficient * math.pi / 4 * diameter**2, WATER) / 1000


# Density g/cm3 of a sphere of 10 mm, Cd 0.47; m/s.
@pytest.mark.parametrize(("density", "speed"), [(1.100, 0.168434), (1.050, 0.120145), (1.200, 0.237150)])
def test_spheres(density: float, speed: float) -> None:
    assert _sphere(10, density, 0.47) == pytest.approx(speed, rel=2e-6)


# Density of a rod of 10 mm and 100 mm, Cd; m/s.
@pytest.mark.parametrize(("density", "coefficient", "speed"), [
    (1.100, 0.82, 0.138408), (1.100, 1.2, 0.114414), (1.050, 0.82, 0.098727),
])  # fmt: skip
def test_rods_crosswise(density: float, coefficient: float, speed: float) -> None:
    net = math.pi / 4 * 100 * 100 * (density - WATER / 1000) / 1000
    assert terminal_speed(net, coefficient * 1000, WATER) / 1000 == pytest.approx(speed, rel=1e-5)


def test_a_rod_endwise() -> None:
    net = math.pi / 4 * 100 * 40 * (1.1 - WATER / 1000) / 1000
    area = endwise(4) * math.pi / 4 * 100
    assert terminal_speed(net, area, WATER) / 1000 == pytest.approx(0.303245, rel=2e-6)


def test_what_is_lighter_rises_as_fast() -> None:
    assert terminal_speed(-0.5, 300, WATER) == -terminal_speed(0.5, 300, WATER)


def test_submerged_weight_of_a_known_volume() -> None:
    """V = 12 cm3 at 1.10 in fresh water of 20 C: 1.2215 gf, 11.979 mN."""
    net = 12 * (1.10 - 0.998207)
    assert net == pytest.approx(1.2215, abs=5e-5)
    assert net * GRAVITY == pytest.approx(11.979, abs=5e-4)
