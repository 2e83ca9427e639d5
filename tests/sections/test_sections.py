"""Superellipse sections, flat bellies, uneven backs and bellies against closed forms and plain integrals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from worker.strands.section import Section

EXPONENTS = st.floats(1.5, 8.0)
SIZES = st.floats(0.5, 12.0)


def _one(value: float) -> np.ndarray:
    return np.array([value])


def _half_width(section: Section, a: float, b: float, c: float, z: float) -> float:
    power, reach = (section.upper, b) if z >= 0 else (section.lower, c)
    return float(a * max(1 - (abs(z) / reach) ** power, 0.0) ** (1 / power))


def test_areas_of_known_curves() -> None:
    """Gamma form of the superellipse's area (NIST DLMF 5.12.1); of n = 4 a table value 3.708149 (from memory)."""
    for exponent in (1.5, 2.0, 2.5, 4.0, 8.0):
        area = Section(exponent, exponent).area(_one(3.0), _one(2.0), _one(2.0))
        exact = 4 * 6 * math.gamma(1 + 1 / exponent) ** 2 / math.gamma(1 + 2 / exponent)
        assert area == pytest.approx(exact, rel=1e-9)
    one = _one(1.0)
    assert Section(4.0, 4.0).area(one, one, one) == pytest.approx(3.708149, abs=1e-6)
    assert Section().area(one, one, one) == pytest.approx(math.pi)


def test_a_half_disk_on_its_flat_side() -> None:
    """Centroid 4 r / 3 pi and second moment (pi/8 - 8/(9 pi)) r^4 (Roark, table A.1)."""
    radius = _one(3.0)
    height, up_down, sideways = Section(floor=1e-9).moments(radius, radius, radius)
    assert height == pytest.approx(4 * 3 / (3 * math.pi), rel=1e-6)
    assert up_down == pytest.approx((math.pi / 8 - 8 / (9 * math.pi)) * 81, rel=1e-6)
    assert sideways == pytest.approx(math.pi / 8 * 81, rel=1e-6)


def test_a_circle_cut_level() -> None:
    """Circular segment: r^2 acos(d/r) - d sqrt(r^2 - d^2) is what the cut takes (plane geometry)."""
    area = Section(floor=2.0).area(_one(5.0), _one(5.0), _one(5.0))
    assert area == pytest.approx(math.pi * 25 - (25 * math.acos(0.4) - 2 * math.sqrt(21)), rel=1e-9)


@settings(max_examples=60, derandomize=True, deadline=None, database=None)
@given(EXPONENTS, EXPONENTS, SIZES, SIZES, SIZES, st.none() | st.floats(0.2, 10.0))
def test_area_and_moments_by_plain_integration(
    upper: float, lower: float, a: float, b: float, c: float, floor: float | None
) -> None:
    section = Section(upper, lower, floor)
    low = -c if floor is None else -min(c, floor)

    def of(power: int) -> float:
        def width(z: float) -> float:
            return 2 * _half_width(section, a, b, c, z) * z**power

        return float(sum(integrate.quad(width, *ends, limit=200)[0] for ends in ((low, 0.0), (0.0, b))))

    area, first, second = (of(power) for power in (0, 1, 2))
    half_cubes = sum(
        integrate.quad(lambda z: 2 / 3 * _half_width(section, a, b, c, z) ** 3, *ends, limit=200)[0]
        for ends in ((low, 0.0), (0.0, b))
    )
    sizes = _one(a), _one(b), _one(c)
    assert section.area(*sizes) == pytest.approx(area, rel=2e-4)
    height, up_down, sideways = section.moments(*sizes)
    assert height == pytest.approx(first / area, rel=1e-3, abs=1e-3 * (b + c))
    assert up_down == pytest.approx(second - first**2 / area, rel=1e-3)
    assert sideways == pytest.approx(half_cubes, rel=1e-3)


@settings(max_examples=60, derandomize=True, deadline=None, database=None)
@given(EXPONENTS, EXPONENTS, SIZES, SIZES, SIZES, st.none() | st.floats(0.2, 10.0), st.floats(0, 2 * math.pi))
def test_rim_and_reach(
    upper: float, lower: float, a: float, b: float, c: float, floor: float | None, angle: float
) -> None:
    """The rim has the section's area; nothing of it lies further along a direction than the section reaches."""
    section, sizes = Section(upper, lower, floor), (_one(a), _one(b), _one(c))
    y, z = section.rim(*sizes, 64)
    polygon = abs(float((y * np.roll(z, -1, axis=1) - np.roll(y, -1, axis=1) * z).sum())) / 2
    assert polygon == pytest.approx(float(section.area(*sizes)[0]), rel=2e-3)
    left, up = math.cos(angle), math.sin(angle)
    reach = float(section.reach(*sizes, _one(left), _one(up))[0])
    furthest = float((left * y + up * z).max())
    assert furthest <= reach + 0.012 * max(a, b, c)
    dense_y, dense_z = section.rim(*sizes, 2048)
    assert float((left * dense_y + up * dense_z).max()) == pytest.approx(reach, rel=2e-3, abs=1e-3)
    if floor is not None:
        assert z.min() >= -min(c, floor) - 1e-9
        assert (z < -min(c, floor) + 1e-6).sum() >= 3 or floor >= c


@settings(max_examples=40, derandomize=True, deadline=None, database=None)
@given(EXPONENTS, SIZES, SIZES, st.none() | st.floats(0.2, 10.0), st.floats(0, 2 * math.pi), st.floats(0.02, 1.9))
def test_beyond_is_negative_inside_alone(
    exponent: float, a: float, b: float, floor: float | None, angle: float, share: float
) -> None:
    section, sizes = Section(exponent, exponent, floor), (_one(a), _one(b), _one(b))
    y, z = share * a * math.cos(angle), share * b * math.sin(angle)
    inside = abs(y / a) ** exponent + abs(z / b) ** exponent < 1 and (floor is None or z > -floor)
    out = float(section.beyond(*sizes, _one(y), _one(z))[0])
    assert (out < 0) == inside or abs(out) < 1e-6
