"""Cooling times against tables, a worked example, the series as SciPy gives them, and heat conducted step by step."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.special import j0, j1, jn_zeros

from tests.shop.made import mould, subject
from worker.measures.strand.thickest import Thickest
from worker.shot.cooling import Form, middle_left, roots, seconds_to, through_wall
from worker.shot.cycle import body_of, cooling_of
from worker.values.mould_materials import MOULD_MATERIALS

# Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, table 5.1 (from memory): Bi, plate, infinite cylinder.
TABLE_5_1 = [
    (0.1, (0.3111, 1.0160), (0.4417, 1.0246)),
    (0.5, (0.6533, 1.0701), (0.9408, 1.1143)),
    (1.0, (0.8603, 1.1191), (1.2558, 1.2071)),
    (10.0, (1.4289, 1.2620), (2.1795, 1.5677)),
    (100.0, (1.5552, 1.2731), (2.3809, 1.6015)),
]


@pytest.mark.parametrize(("biot", "plate", "cylinder"), TABLE_5_1)
def test_roots_and_coefficients_are_those_of_the_table(
    biot: float, plate: tuple[float, float], cylinder: tuple[float, float]
) -> None:
    assert roots("plate", biot)[0] == pytest.approx(plate, abs=1.2e-4)
    assert roots("cylinder", biot)[0] == pytest.approx(cylinder, abs=1.2e-4)


def test_the_worked_example_of_a_pipe_s_wall() -> None:
    """The same book, example 5.4 (from memory): Bi = 0.313, Fo = 5.64, from -20 to a fluid of 60 degrees: 42.9 inside.

    The book takes its root from the table between two rows, 0.531 for 0.5325, which is the 0.15 degrees allowed here.
    """
    left = through_wall("plate", 0.313)(5.64)
    assert roots("plate", 0.313)[0] == pytest.approx((0.531, 1.047), abs=0.002)
    assert 60 + left * (-20 - 60) == pytest.approx(42.9, abs=0.15)


@pytest.mark.parametrize("fourier", [0.02, 0.05, 0.1, 0.3, 1.0])
def test_the_cylinder_s_series_is_scipy_s(fourier: float) -> None:
    zeros = jn_zeros(0, 60)
    every = float((2 / (zeros * j1(zeros)) * j0(0.0) * np.exp(-zeros * zeros * fourier)).sum())
    assert middle_left("cylinder", fourier) == pytest.approx(every, abs=2e-4)


def test_the_first_term_gives_the_textbook_s_times() -> None:
    """D^2 / (4 * 5.7832 a) ln(1.602 * 6) at 0.09 mm2/s, 175 to 50 degrees, wall 25: 39.13 and 108.70 s."""
    times = [seconds_to(partial(middle_left, "cylinder"), 25 / 150, across / 2, 0.09) for across in (6.0, 10.0)]
    assert times == pytest.approx([39.13, 108.70], abs=0.01)


def conducted(form: Form, half: float, alpha: float, share: float, passes: float | None = None) -> float:
    """When the middle has only `share` left, s: finite volumes of our own making, 200 shells, integrated by SciPy.

    No series is in it. `passes`: what an mm2 of the surface gives away to 0 degrees, over the plastic's conductivity
    (1/mm); without it the surface is held at 0.
    """
    shells = 200
    edges = half * np.arange(shells + 1) / shells
    power = 1 if form == "cylinder" else 0
    face, volume = edges**power, (edges[1:] ** (power + 1) - edges[:-1] ** (power + 1)) / (power + 1)
    step = half / shells
    last = step / 2 + (0.0 if passes is None else 1 / passes)

    def rate(_: float, heat: np.ndarray) -> np.ndarray:
        flow = np.zeros(shells + 1)
        flow[1:-1] = -alpha * face[1:-1] * np.diff(heat) / step
        flow[-1] = alpha * face[-1] * heat[-1] / last
        return -np.diff(flow) / volume

    def reached(_: float, heat: np.ndarray) -> float:
        return float(heat[0] - share)

    reached.terminal = True  # type: ignore[attr-defined]
    done = solve_ivp(rate, (0, 9000), np.ones(shells), method="LSODA", events=reached, rtol=1e-7, atol=1e-9)
    return float(done.t_events[0][0])


@pytest.mark.parametrize("form", ["plate", "cylinder"])
@pytest.mark.parametrize("share", [0.15, 0.6, 0.9])
def test_heat_conducted_step_by_step_takes_as_long(form: Form, share: float) -> None:
    ours = seconds_to(partial(middle_left, form), share, 4.0, 0.055)
    assert conducted(form, 4.0, 0.055, share) == pytest.approx(ours, rel=2e-3)
    walled = seconds_to(through_wall(form, 3.0), share, 4.0, 0.055)
    assert conducted(form, 4.0, 0.055, share, 3.0 / 4.0) == pytest.approx(walled, rel=2e-3)


def test_a_flat_place_cools_as_a_plate_and_a_round_one_as_a_rod() -> None:
    assert body_of(Thickest(30.0, 6.0, 150.0), 1.02).form == "plate"
    rod = body_of(Thickest(8.0, 8.0, 50.0), 1.0)
    assert (rod.form, rod.across) == ("cylinder", pytest.approx(8.0))


def test_a_mould_that_insulates_cools_through_its_wall_and_says_so() -> None:
    shot = subject(shot={}).request.normal["shot"]
    place = Thickest(9.0, 9.0, 63.6)
    metal, rubber = (cooling_of(shot, mould(material=name), place, 1.02) for name in ("aluminium", "silicone"))
    assert metal.wall == pytest.approx(33.5, abs=0.5) and not metal.assumed
    assert rubber.wall > 90 and "insulates" in rubber.assumed[0]
    assert rubber.usual > 2 * metal.usual


@pytest.mark.parametrize("material", MOULD_MATERIALS)
def test_a_warmer_mould_never_cools_sooner_and_no_degree_makes_a_leap(material: str) -> None:
    """Heat runs the slower the warmer its way out is, and steadily so: the law of conduction, whatever the wall's."""
    place, times = Thickest(9.0, 9.0, 63.6), []
    for warmth in range(20, 49):
        shot = subject(shot={"mould_temperature_c": warmth}).request.normal["shot"]
        times.append(cooling_of(shot, mould(material=material), place, 1.02).usual)
    steps = np.diff(times)
    assert (steps > 0).all() and (np.diff(steps) > 0).all()


def test_only_what_insulates_is_said_to() -> None:
    """Conductivities of a handbook's order: metals above 10 W/m.K; plaster, resin and rubber under 1."""
    shot = subject(shot={"mould_temperature_c": 48}).request.normal["shot"]
    for name in MOULD_MATERIALS:
        said = cooling_of(shot, mould(material=name), Thickest(9.0, 9.0, 63.6), 1.0).assumed
        assert any("insulates" in each for each in said) == (name != "aluminium")


@pytest.mark.parametrize("place", [Thickest(8.63, 8.63, 58.5), Thickest(30.0, 6.0, 150.0)], ids=["rod", "plate"])
def test_through_silicone_it_takes_as_long_as_heat_conducted_step_by_step(place: Thickest) -> None:
    """Each plastic with the conductivity that its diffusivity goes with: 0.17 W/m.K and 1.4 kJ/kg.K make 0.09 mm2/s
    (makeitfrom.com), 0.091 and 2.65 make 0.034 (Physics Procedia 2015); the middle of each is judgement.

    Round a rod the wall's heat flow is that of a cylinder's shell, 2 pi k L / ln(r2 / r1) a degree (any textbook of
    heat conduction): 12 mm of 0.2 W/m.K.
    """
    shot = subject(shot={}).request.normal["shot"]
    told = cooling_of(shot, mould(material="silicone"), place, 1.0)
    half, length = told.body.across / 2, 1.0
    if told.body.form == "cylinder":
        shell = 2 * math.pi * 0.2 * length / math.log((half + 12) / half)
        passes = shell / (2 * math.pi * half * length)
    else:
        passes = 0.2 / 12
    plastics = [(0.17, 0.09), (0.125, 0.055), (0.091, 0.034)]
    times = [
        conducted(told.body.form, half, alpha, (50 - 30) / (175 - 30), passes / conducts)
        for conducts, alpha in plastics
    ]
    assert [told.fast, told.usual, told.slow] == pytest.approx(times, rel=2e-3)


def test_a_wall_that_is_told_is_taken() -> None:
    place = Thickest(10.0, 10.0, 78.5)
    shot = subject(shot={"wall_temperature_c": 25}).request.normal["shot"]
    told = cooling_of(shot, mould(material="silicone"), place, 1.0)
    assert told.wall == 25 and not told.assumed
    assert told.fast == pytest.approx(108.70, abs=0.01)


@pytest.mark.parametrize("over", [1e-9, 0.01, 5.0])
@pytest.mark.parametrize("across", [0.5, 40.0])
def test_a_bait_that_leaves_hardly_warmer_than_its_mould_is_waited_for(over: float, across: float) -> None:
    """The last of the cooling is one exponential: ten times nearer takes ln(10) / (root^2) Fourier numbers more."""
    left = through_wall("plate", 0.05 * across)
    near, nearer = (seconds_to(left, share, across / 2, 0.055) for share in (over / 145, over / 1450))
    root, _ = roots("plate", 0.05 * across)[0]
    assert nearer - near == pytest.approx(math.log(10) / root**2 * (across / 2) ** 2 / 0.055, rel=1e-6)
