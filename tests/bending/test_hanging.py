"""Cantilevers that bend far: against the elastica's table, and the limits of small turns and of hanging straight down.

A tip load: Bisshopp and Drucker, Large deflection of cantilever beams, Quarterly of Applied Mathematics 3 (1945) (from
memory; the digits by an ODE solver). An even beam under its own weight: w L^4 / 8 EI at the tip while that is small
(Roark's Formulas for Stress and Strain, table 8.1), and (EI / w)^(1/3) half of what overhangs where the chord falls
41.5 degrees (Peirce, The handle of cloth as a measurable quantity, Journal of the Textile Institute 21, 1930).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_bvp, solve_ivp
from scipy.optimize import brentq

from worker.measures.bending.backbone import LINKS
from worker.measures.bending.bending_length import bending_length
from worker.measures.bending.hanging import Chain, chord, hung

# P L^2 / EI; down and short over L; the tip's degrees; linear theory's deflection over L.
TABLE = [
    (0.1, 0.03330, 0.00067, 2.862, 0.0333),
    (0.5, 0.16214, 0.01592, 14.011, 0.1667),
    (1, 0.30172, 0.05643, 26.434, 0.3333),
    (2, 0.49346, 0.16064, 44.791, 0.6667),
    (3, 0.60325, 0.25442, 56.495, 1.0),
    (5, 0.71379, 0.38763, 69.635, 1.667),
    (10, 0.81061, 0.55500, 81.949, 3.333),
]


def _even(loads: list[float], count: int) -> Chain:
    """A beam of length 1 and stiffness 1."""
    link = 1 / count
    return Chain((link,) * count, (2 * count, *[count] * (count - 1)), tuple(loads))


def _tip_loaded(load: float, count: int = LINKS) -> Chain:
    return _even([load / count] * count, count)


def _heavy(weight: float, count: int = LINKS) -> Chain:
    """w L^3 / EI = `weight`."""
    return _even([weight / count * (1 - (place + 0.5) / count) for place in range(count)], count)


@pytest.mark.parametrize(("load", "down", "short", "tip", "linear"), TABLE)
def test_the_elastica(load: float, down: float, short: float, tip: float, linear: float) -> None:
    chain = _tip_loaded(load)
    angles = hung(chain)
    assert sum(math.sin(angle) for angle in angles) / LINKS == pytest.approx(down, abs=3e-4)
    assert 1 - sum(math.cos(angle) for angle in angles) / LINKS == pytest.approx(short, abs=2e-4)
    assert math.degrees(angles[-1]) == pytest.approx(tip, abs=0.006)
    assert load / 3 == pytest.approx(linear, abs=5e-4)


def test_more_links_come_nearer() -> None:
    misses = []
    for count in (12, 24, 48):
        angles = hung(_tip_loaded(2, count))
        misses.append(abs(sum(math.sin(angle) for angle in angles) / count - 0.49346))
    assert misses[0] > 3 * misses[1] > 9 * misses[2]


def test_small_turns() -> None:
    """w L^4 / 8 EI down and w L^3 / 6 EI at the tip."""
    angles = hung(_heavy(0.01))
    assert sum(angles) / LINKS == pytest.approx(0.01 / 8, rel=1e-3)
    assert angles[-1] == pytest.approx(0.01 / 6, rel=1e-3)


@pytest.mark.parametrize("weight", [1.0, 8.0, 40.0])
def test_its_own_weight_against_a_solver_of_boundary_values(weight: float) -> None:
    """theta'' = -(w / EI) (L - s) cos theta, theta(0) = 0, theta'(L) = 0."""
    s = np.linspace(0, 1, 400)
    solved = solve_bvp(
        lambda s, y: np.vstack([y[1], -weight * (1 - s) * np.cos(y[0])]),
        lambda a, b: np.array([a[0], b[1]]),
        s,
        np.vstack([np.minimum(weight / 6, 1.4) * s, 0 * s]),
        tol=1e-8,
        max_nodes=20000,
    )
    assert solved.success
    assert math.degrees(hung(_heavy(weight))[-1]) == pytest.approx(math.degrees(float(solved.y[0, -1])), abs=0.02)


@pytest.mark.parametrize("weight", [1e-9, 1e3, 1e6, 1e9])
def test_from_a_stick_to_a_thread(weight: float) -> None:
    angles = hung(_heavy(weight))
    assert all(0 <= before <= after + 1e-12 for before, after in pairwise(angles))
    assert angles[-1] <= math.pi / 2 + 1e-12
    assert (angles[-1] > 1.57) == (weight > 1)


def test_nothing_hangs_where_nothing_weighs() -> None:
    assert hung(_heavy(0.0)) == [0.0] * LINKS


@pytest.mark.parametrize("weight", [1e-3, 0.5, 4, 7.9, 8.1, 20, 300, 2000])
def test_the_bending_length_of_an_even_strip(weight: float) -> None:
    """(EI / w)^(1/3), whether it is stiffer or softer than its own length shows."""
    chain = _heavy(weight)
    assert bending_length(chain, hung(chain)) == pytest.approx(weight ** (-1 / 3), rel=4e-3)


def test_half_of_the_overhang_and_the_cube_root_are_one_figure() -> None:
    """theta'' = -w (1 - s) cos theta by an ODE solver: at w l^3 / EI = 8, l = 2 (EI / w)^(1/3), the chord is 41.49."""

    def shot(bend: float) -> tuple[float, float]:
        def slope(s: float, y: list[float]) -> list[float]:
            return [y[1], -8 * (1 - s) * math.cos(y[0]), math.cos(y[0]), math.sin(y[0])]

        end = solve_ivp(slope, (0, 1), [0, bend, 0, 0], rtol=1e-9, atol=1e-11).y[:, -1]
        return float(end[1]), math.degrees(math.atan2(end[3], end[2]))

    bend = brentq(lambda each: shot(each)[0], 0, 8)
    assert shot(bend)[1] == pytest.approx(41.5, abs=0.02)


def test_where_half_of_an_even_strip_overhangs_by_its_bending_length() -> None:
    """Overhang L = 2 (EI / w)^(1/3), so w L^3 / EI = 8: its chord falls 41.5 degrees."""
    chain = _heavy(8, 200)
    assert math.degrees(chord(chain.links, hung(chain))) == pytest.approx(41.5, abs=0.02)


def test_a_tip_that_is_softer_bends_for_itself() -> None:
    """Half as stiff from its middle on: between the two strips' own, whether it hangs down or hardly bends."""
    for weight in (0.5, 60):
        even = _heavy(weight)
        half = LINKS // 2
        softer = Chain(even.links, (*even.springs[:half], *(k / 2 for k in even.springs[half:])), even.loads)
        stiff, soft = weight ** (-1 / 3), (2 * weight) ** (-1 / 3)
        assert soft * 0.999 < bending_length(softer, hung(softer)) < stiff
