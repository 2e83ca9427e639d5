"""What a bait does in water: worked buoyancies, the verdict's edges, and the attitude's moments by hand.

V = 12 cm3 (arithmetic with the table's densities, 20 C): at 1.02 g/cm3 12.240 g, +0.2615 gf in fresh water and
-0.0572 gf in the sea; at 1.10 13.200 g, +1.2215 and +0.9028 gf.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from tests.outside.made import asked, plain
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.measures.water.density import water_density
from worker.measures.water.fall import Fall, Hung, fall_of
from worker.measures.water.spread import Part, Spread, spread_of
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.values.plastics import Range

FRESH, SEA = water_density(20), water_density(20, 35)


def _exact(density: float) -> Range:
    return Range(density, density, density, "g/cm3", "exact")


def _rod(length: float = 100, diameter: float = 10) -> tuple[Spread, float]:
    strand = Strand(
        "trunk",
        "trunk",
        StraightPath(length),
        Girth.circular((0.0, diameter), (1.0, diameter)),
        Plain((0.0, 0.0)),
    )
    volume = math.pi / 4 * diameter**2 * length
    return spread_of([strand], [], [], volume, 0.0), volume


def _fall(density: float, water: float, volume: float = 12000, hung: tuple[Hung, ...] = ()) -> Fall:
    spread, _ = _rod()
    return fall_of(spread, volume, _exact(density), water, hung)


@pytest.mark.parametrize(("density", "water", "net", "behaviour"), [
    (1.02, FRESH, 0.2615, "sinks"), (1.02, SEA, -0.0572, "floats"),
    (1.10, FRESH, 1.2215, "sinks"), (1.10, SEA, 0.9028, "sinks"),
])  # fmt: skip
def test_buoyancies(density: float, water: float, net: float, behaviour: str) -> None:
    fall = _fall(density, water)
    assert fall.net == pytest.approx(net, abs=6e-5)
    assert fall.mass == pytest.approx(12 * density)
    assert fall.behaviour == behaviour
    assert (fall.speed > 0) == (net > 0)


def test_a_rod_of_a_maker_sinks_as_the_worked_example() -> None:
    """d = 10, l / d = 10 crosswise, 1.100 in fresh water of 20 C: 0.138408 m/s = 5.449 in/s."""
    spread, volume = _rod()
    fall = fall_of(spread, volume, _exact(1.1), FRESH)
    assert fall.speed == pytest.approx(138.408, rel=2e-4)
    assert fall.speed / 25.4 == pytest.approx(5.449, abs=2e-3)
    assert fall.attitude == 0


def test_the_edges_of_suspending() -> None:
    """Under 0.3 % of the mass, or where the density's range has water's own in it."""
    fresh = FRESH / 1000
    assert _fall(fresh / (1 - 0.0029), FRESH).behaviour == "suspends"
    assert _fall(fresh / (1 - 0.0031), FRESH).behaviour == "sinks"
    assert _fall(fresh / (1 + 0.0031), FRESH).behaviour == "floats"
    spread, volume = _rod()
    unsure = fall_of(spread, volume, Range(0.99, 1.02, 1.05, "g/cm3", ""), FRESH)
    assert unsure.behaviour == "suspends" and unsure.unsure
    assert unsure.net_low < 0 < unsure.net < unsure.net_high
    assert unsure.speed_low < 0 < unsure.speed < unsure.speed_high


def test_the_attitude_by_hand() -> None:
    """tan = dx Cd A / (2 V): a lead shot of 1 g 5 mm behind the nose of the rod, worked by hand."""
    spread, volume = _rod()
    fall = fall_of(spread, volume, _exact(1.1), FRESH, [Hung(1.0, 11.34, 5.0)])
    shot, rod = 1 - 0.998205 / 11.34, 7.853982 * (1.1 - 0.998205)
    ahead = shot * 45 / (shot + rod)
    assert math.tan(math.radians(fall.attitude)) == pytest.approx(ahead * 0.82 * 1000 / (2 * volume), rel=1e-5)
    level, steep = math.cos(math.radians(fall.attitude)), math.sin(math.radians(fall.attitude))
    ends = (0.99 + 3 * 0.03) * math.pi / 4 * 100
    drag = 820 * level**3 + ends * steep**3
    weight = (shot + rod) / 1000 * 9.80665
    assert fall.speed == pytest.approx(1000 * math.sqrt(2 * weight / (FRESH * drag / 1e6)), rel=1e-5)


@pytest.mark.parametrize(("x", "sign"), [(5.0, 1), (50.0, 0), (95.0, -1)])
def test_the_heavier_end_goes_down_first(x: float, sign: int) -> None:
    spread, volume = _rod()
    angle = fall_of(spread, volume, _exact(1.1), FRESH, [Hung(2.0, 11.34, x)]).attitude
    assert np.sign(angle) == sign
    assert -90 <= angle <= 90


def test_what_rises_carries_its_float_up() -> None:
    """Foam in the tail of a floating rod lifts the tail; a little lead in the nose of it sinks the nose."""
    spread, volume = _rod()
    foam = fall_of(spread, volume, _exact(0.95), FRESH, [Hung(0.02, 0.15, 95.0)])
    assert foam.behaviour == "floats" and foam.attitude > 0
    lead = fall_of(spread, volume, _exact(0.95), FRESH, [Hung(0.1, 11.34, 5.0)])
    assert lead.behaviour == "floats" and lead.attitude > 0


def test_a_heavy_nose_falls_on_end_and_fast() -> None:
    spread, volume = _rod()
    bare = fall_of(spread, volume, _exact(1.1), FRESH)
    rigged = fall_of(spread, volume, _exact(1.1), FRESH, [Hung(10.0, 11.34, 0.0)])
    assert rigged.attitude > 60
    assert rigged.speed > 3 * bare.speed


def test_a_bait_that_is_bare_tips_by_where_its_plan_lies() -> None:
    """A rod that tapers: its weight lies nearer to the thick end than its plan does, so the thick end leads."""
    tapered = plain(80, (0.0, 10.0), (1.0, 4.0), ends=(0, 0))
    spread = spread_of([tapered.strand], [], [], tapered.size.volume, 0.0)
    # Frustum: middle at L (R2 + 2 R r + 3 r2) / (4 (R2 + R r + r2)); trapezium: L (R + 2 r) / (3 (R + r)).
    assert spread.middle == pytest.approx(80 * (25 + 20 + 12) / (4 * (25 + 10 + 4)), rel=1e-6)
    assert spread.drag_middle == pytest.approx(80 * (5 + 4) / (3 * 7), rel=1e-6)
    assert fall_of(spread, tapered.size.volume, _exact(1.1), FRESH).attitude > 0


def test_parts_bear_by_their_own_drag() -> None:
    parts = (Part("trunk", 1000, 20, 200, 20, 160), Part("tail", 100, 60, 100, 60, 120))
    spread = Spread(parts, 0, 0, 50)
    assert spread.middle == pytest.approx((1000 * 20 + 100 * 60) / 1100)
    assert spread.drag_middle == pytest.approx((160 * 20 + 120 * 60) / 280)
    taken = Spread(parts, 100, 20, 50)
    assert taken.volume == 1000
    assert taken.middle == pytest.approx((900 * 20 + 100 * 60) / 1000)


# Through a whole request ---------------------------------------------------------------------------------------------


def _metrics(**members: Any) -> dict[str, Any]:
    metrics: dict[str, Any] = estimate(asked("stick_worm", {}, **members))["metrics"]
    return metrics


def test_temperature_and_salinity_are_asked_for() -> None:
    usual, cold = _metrics(), _metrics(water={"temperature_c": 4, "salinity": 12})
    assert usual["fresh_water"]["density_kg_m3"] == pytest.approx(FRESH, rel=1e-5)
    assert cold["fresh_water"]["density_kg_m3"] == pytest.approx(999.9749, abs=0.006)
    assert cold["salt_water"]["density_kg_m3"] == pytest.approx(water_density(4, 12), rel=1e-5)
    assert _metrics(water={"salinity": 0})["salt_water"] == _metrics()["fresh_water"]


def test_salt_sinks_a_bait_and_the_sea_bears_it() -> None:
    plastic = {"grade": "soft", "salt_wt_pct": 20}
    salted = _metrics(plastic=plastic)
    fresh, sea = salted["fresh_water"], salted["salt_water"]
    assert fresh["behaviour"] == sea["behaviour"] == "sinks"
    assert fresh["sink_rate_mm_s"] > sea["sink_rate_mm_s"] > 0
    assert fresh["net_mass_g"] == pytest.approx(salted["mass_g"] * (1 - 0.998205 / 1.12060), rel=1e-4)
    assert 50 < fresh["sink_rate_mm_s"] < 250  # common practice, no source: 0.05 to 0.25 m/s is wanted


def test_a_plastic_that_is_not_known_well_enough_says_so() -> None:
    water = _metrics()["fresh_water"]
    assert water["net_mass_low_g"] < 0 < water["net_mass_high_g"]
    assert water["behaviour"] == "suspends"
    salted = _metrics(plastic={"salt_wt_pct": 3})["fresh_water"]
    assert salted["behaviour"] == "suspends" and "weigh a piece of yours" in salted["note"]
    assert "note" not in _metrics(plastic={"salt_wt_pct": 30})["fresh_water"]


def test_bare_without_a_rig_and_both_with_one() -> None:
    assert _metrics()["fresh_water"]["rigged"] is None
    rig = {"kind": "texas", "hook": {"mass_g": 1.2}, "weights": [{"mass_g": 3.5}]}
    rigged = _metrics(rig=rig)
    water = rigged["fresh_water"]
    assert water["rigged"]["mass_g"] == pytest.approx(rigged["mass_g"] + 4.7, rel=1e-5)
    net = 1.2 * (1 - 0.998205 / 7.85) + 3.5 * (1 - 0.998205 / 11.34)
    assert water["rigged"]["net_mass_g"] == pytest.approx(water["net_mass_g"] + net, abs=2e-5)
    assert water["rigged"]["attitude_deg"] > 45 > abs(water["attitude_deg"])
    assert water["rigged"]["sink_rate_mm_s"] > 2 * abs(water["sink_rate_mm_s"])


def test_a_nail_weight_in_the_tail_backs_down() -> None:
    rig = {"kind": "wacky", "weights": [{"mass_g": 1.5, "station": 0.95, "material": "tungsten"}]}
    assert _metrics(rig=rig)["fresh_water"]["rigged"]["attitude_deg"] < -20


def test_a_bait_that_is_even_by_chance_is_not_said_to_suspend_for_sure() -> None:
    """Its typical density is the water's, and nobody knows it: the note has to stand there all the same."""
    subject = Subject(asked("stick_worm", {}))
    volume = subject.size.volume
    spread = spread_of(subject.trunk_strands, subject.limbs, subject.hollows, volume, 0.0)
    even = FRESH / 1000
    unknown = fall_of(spread, volume, Range(even - 0.04, even, even + 0.04, "g/cm3", ""), FRESH)
    known = fall_of(spread, volume, Range(even - 0.001, even, even + 0.001, "g/cm3", ""), FRESH)
    assert (unknown.behaviour, unknown.unsure) == ("suspends", True)
    assert (known.behaviour, known.unsure) == ("suspends", False)
