"""Section properties and bending integrals against exact forms.

Sections: any table of section properties (circle, ellipse). Cantilevers: Roark's Formulas for Stress and Strain, table
8.1 (from memory, standard textbook) and the unit-load method, delta = (P / E) integral x^2 / I dx from the tip (NPTEL,
worked example 4.11, "unit load"); P = 0.02 N, E = 0.3 MPa, L = 20 mm. Bead necks: exact integrals over two spheres of
R = 5 mm, 8 mm apart, between their centres; Euler-Bernoulli on stubby bodies, so a check of the sums and not of truth.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad

from tests.outside.made import asked, plain, spheres, stepped
from worker.checks.subject import Subject
from worker.measures.strand.bending import hold_station, second_moments, tip_give
from worker.strands.body import Body
from worker.strands.section import ELLIPSE

FORCE, MODULUS, LENGTH = 0.02, 0.3, 20.0


def test_circle_and_ellipse() -> None:
    half_height = np.array([3.0, 2.0])
    _, up_down, sideways = ELLIPSE.moments(np.array([3.0, 4.0]), half_height, half_height)
    assert up_down == pytest.approx([63.617251, 25.132741], abs=1e-6)
    assert sideways == pytest.approx([63.617251, 100.530965], abs=1e-6)


def test_areas() -> None:
    """Circle d = 6: 28.274334; ellipse 4, 2: 25.132741, as a flattened worm has it across its first bead."""
    assert plain(20, (0.0, 6.0), (1.0, 6.0), ends=(0, 0)).body.area(np.array([7.0]))[0] == pytest.approx(28.274334)
    params = {"length": 50, "bead_diameter": 8, "bead_count": 10, "bead_height_ratio": 0.6, "joint_blend": 0}
    body = Subject(asked("beaded_worm", params)).body
    assert body.area(np.array([4.0]))[0] == pytest.approx(math.pi * 4 * 2.4, rel=1e-9)


def _deflection(body: Body) -> float:
    grid = body.grid()
    up_down, _ = second_moments(body, grid.station)
    return FORCE / MODULUS * tip_give(grid, LENGTH, up_down)


def test_a_uniform_bar() -> None:
    """PL^3 / 3EI = 2.794490 mm."""
    assert _deflection(stepped((20, 6))) == pytest.approx(2.794490, rel=1e-6)


def test_a_stepped_bar() -> None:
    """6 mm for the first 10 mm from the root, 3 mm to the tip: P/3E [(L^3 - a^3)/I1 + a^3/I2] = 8.034159 mm."""
    assert _deflection(stepped((10, 6), (10, 3))) == pytest.approx(8.034159, rel=1e-6)


def test_a_tapered_bar() -> None:
    """6 to 3 mm: 64 P L^3 / (3 pi E d_tip d_root^3) = 5.588980 mm, exactly twice the uniform bar."""
    tapered = _deflection(plain(20, (0.0, 6.0), (1.0, 3.0), ends=(0, 0)).body)
    assert tapered == pytest.approx(5.588980, rel=1e-6)
    assert tapered == pytest.approx(2 * _deflection(stepped((20, 6))), rel=1e-6)


def test_a_necked_bar() -> None:
    """Root 4 mm of 6, neck 2 mm of 2, tip 14 mm of 6: 0.958510 + 38.253775 + 1.363711 = 40.575996 mm."""
    assert _deflection(stepped((4, 6), (2, 2), (14, 6))) == pytest.approx(40.575996, rel=1e-6)


# Blend; theta / M x E in mm^-3 and u / F x E in mm^-1.
@pytest.mark.parametrize(("blend", "bending", "stretching"), [
    (0.0, 0.03382574, 0.13987966), (3.5, 0.02584263, 0.12655501),
])  # fmt: skip
def test_the_give_of_a_bead_neck(blend: float, bending: float, stretching: float) -> None:
    body = spheres(2, 5, 8, blend).body

    def over(power: int) -> float:
        def at(x: float) -> float:
            moment, _ = second_moments(body, np.array([x]))
            return 1 / float(moment[0] if power == 4 else body.area(np.array([x]))[0])

        return float(2 * quad(at, 5, 9, points=list(body.ends[(body.ends > 5) & (body.ends < 9)]), epsabs=1e-12)[0])

    assert over(4) == pytest.approx(bending, rel=1e-6)
    assert over(2) == pytest.approx(stretching, rel=1e-6)


def test_closed_forms_of_the_bare_neck() -> None:
    """(8/pi)(4/(2*25*9) + ln 9/500) and (0.2/pi) ln 9."""
    assert 8 / math.pi * (4 / 450 + math.log(9) / 500) == pytest.approx(0.03382574, abs=5e-9)
    assert 0.2 / math.pi * math.log(9) == pytest.approx(0.13987966, abs=5e-9)
    rod = 8 / (math.pi * 625 / 4), 8 / (math.pi * 25)
    assert rod == pytest.approx((0.01629747, 0.10185916), abs=5e-9)


def test_the_flexibility_ratio_of_a_chain_is_the_integrals_ratio() -> None:
    """From half the nose's girth (never less than 6 mm) to the tail; by an adaptive quadrature instead of our grid."""
    params = {"length": 90, "bead_diameter": 10, "bead_count": 11, "joint_blend": 0.8}
    subject = Subject(asked("beaded_worm", params))
    body, hold = subject.body, hold_station(subject.body)
    assert hold == 6.0

    def give(of: Body) -> float:
        def at(x: float) -> float:
            moment, _ = second_moments(of, np.array([x]))
            return (90 - x) ** 2 / float(moment[0])

        cuts = np.concatenate([[hold], of.ends[(of.ends > hold) & (of.ends < 90 - 1e-6)], [90 - 1e-6]])
        return sum(float(quad(at, low, high)[0]) for low, high in pairwise(cuts))

    assert subject.flexibility_ratio == pytest.approx(give(body) / give(subject.trunk.smooth), rel=1e-4)
    assert subject.flexibility_ratio is not None and subject.flexibility_ratio > 1.2


def test_a_thick_nose_is_held_at_half_its_girth() -> None:
    params = {"length": 200, "bead_diameter": 16, "bead_count": 18}
    assert hold_station(Subject(asked("beaded_worm", params)).body) == 8.0
