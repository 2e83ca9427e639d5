"""The pull bar: its plan and section as asked, its volume by quadrature over a plan drawn here, its gauge the joint."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from tests.property.drawn import for_all
from tests.property.test_every_bait import any_bodies
from tests.styles.baits import Array, built, checks_of, extent_at, faults, section, strand_of, subject_of
from worker.build import build
from worker.errors import InfeasibleRequest
from worker.estimate import estimate
from worker.request import read_request
from worker.styles import STYLES
from worker.styles.pull_bar import LEAST_GRIP

FULL = 4 * math.gamma(1 + 1 / 8) ** 2 / math.gamma(1 + 2 / 8) / 4
"""Area of |y/a|^8 + |z/b|^8 = 1 over its rectangle 4 a b (NIST Digital Library of Mathematical Functions 5.12.1)."""
BARS: tuple[dict[str, float], ...] = (
    {},
    {
        "gauge_width": 4,
        "gauge_length": 20,
        "thickness": 4,
        "grip_width": 12.5,
        "fillet_radius": 8,
        "shoulder_radius": 8,
    },
    {
        "gauge_width": 10,
        "thickness": 10,
        "grip_width": 20,
        "fillet_radius": 40,
        "shoulder_radius": 1,
        "grip_length": 30,
    },
    # The flanks as steep as they go, 75 degrees.
    {"gauge_width": 3, "grip_width": 40, "fillet_radius": 24, "shoulder_radius": 1, "gauge_length": 80},
)


def _asked(**params: float) -> dict[str, float]:
    return {**STYLES["pull_bar"].defaults(), **params}


def _plan(asked: dict[str, float]) -> tuple[float, Any, list[float]]:
    """Overall length, half-width at x, and where the plan's curve changes: drawn with compasses, from the middle out.

    The angle t of both arcs is where R (1 - cos t) + r (1 - cos t) is the drop from grip to gauge.
    """
    big, small = asked["fillet_radius"], asked["shoulder_radius"]
    drop = (asked["grip_width"] - asked["gauge_width"]) / 2
    angle = math.acos(1 - drop / (big + small))
    even, first = asked["gauge_length"] / 2, asked["gauge_length"] / 2 + big * math.sin(angle)
    last = first + small * math.sin(angle)
    length = 2 * (last + asked["grip_length"])

    def half(x: float) -> float:
        away = abs(x - length / 2)
        if away <= even:
            return asked["gauge_width"] / 2
        if away <= first:
            return asked["gauge_width"] / 2 + big - math.sqrt(big**2 - (away - even) ** 2)
        if away <= last:
            return asked["grip_width"] / 2 - small + math.sqrt(small**2 - (last - away) ** 2)
        return asked["grip_width"] / 2

    return length, half, [length / 2 + side * each for each in (even, first, last) for side in (-1, 1)]


@pytest.mark.parametrize("params", BARS)
def test_its_plan_is_the_one_drawn_here(params: dict[str, float]) -> None:
    length, half, _ = _plan(_asked(**params))
    trunk = strand_of(subject_of("pull_bar", **params), "trunk")
    assert trunk.path.length == pytest.approx(length, abs=1e-9)
    x = np.linspace(0, length, 1001)
    np.testing.assert_allclose(trunk.body.sizes(x)[0], [half(each) for each in x.tolist()], atol=1e-8)


@pytest.mark.parametrize("params", BARS)
def test_its_volume_is_plan_times_thickness(params: dict[str, float]) -> None:
    """Every section is its rectangle times one number."""
    asked = _asked(**params)
    length, half, marks = _plan(asked)
    exact = FULL * asked["thickness"] * 2 * quad(half, 0, length, points=marks, limit=200)[0]
    assert subject_of("pull_bar", **params).size.volume == pytest.approx(exact, rel=1e-6)
    solid = built("pull_bar", **params)
    assert solid.volume == pytest.approx(exact, rel=1e-4)
    assert len(solid.parts) == 1 and solid.through_holes == 0
    assert solid.extent == pytest.approx((length, asked["grip_width"], asked["thickness"]), abs=0.02)


def test_by_default_it_has_the_standards_sizes() -> None:
    """ISO 37, type 1: 115 mm long at the least, ends of 25 +- 1, narrow over 33 +- 2 by 6.0 +- 0.4 (from memory)."""
    solid = built("pull_bar")
    assert solid.extent[0] == pytest.approx(115, abs=0.1)
    assert solid.extent[1] == pytest.approx(25, abs=0.02)
    assert extent_at(solid, solid.extent[0] / 2 - 16.5)[0] == pytest.approx(6, abs=0.02)


@pytest.mark.parametrize("params", BARS)
def test_the_gauge_is_its_one_joint_and_tells_its_own_area(params: dict[str, float]) -> None:
    asked = _asked(**params)
    area = FULL * asked["gauge_width"] * asked["thickness"]
    metrics = estimate(read_request({"style": "pull_bar", "params": params}))["metrics"]
    (joint,) = metrics["joints"]
    assert joint["area_mm2"] == pytest.approx(area, rel=1e-5)
    assert joint["station_mm"] == pytest.approx(metrics["length_mm"] / 2, rel=1e-5)
    assert joint["kind"] == "neck" and metrics["weakest_joint"]["joint"] == 1
    # Strength times area, over a factor that generous fillets keep near one.
    strength = subject_of("pull_bar", **params).plastic.strength.typical
    assert joint["pull_n"] == pytest.approx(strength * area / joint["notch_factor"], rel=1e-5)
    assert 1 <= joint["notch_factor"] < 1.35


@pytest.mark.parametrize("share", [-0.45, 0.0, 0.45])
def test_the_mesh_is_cut_to_that_area_all_along_the_gauge(share: float) -> None:
    solid = built("pull_bar", tolerance=0.01)
    (rim,) = section(solid, solid.extent[0] / 2 + share * 33)
    assert _area(rim) == pytest.approx(FULL * 30, rel=2e-4)


def _area(polygon: Array) -> float:
    y, z = polygon.T
    return abs(float((y * np.roll(z, -1) - z * np.roll(y, -1)).sum())) / 2


def test_the_notch_factor_is_that_of_a_shoulder() -> None:
    """A level gauge is no groove: a shoulder raises stress less, and a small fillet more than a large one."""
    (sharp,), (plain,), (round_,) = (
        subject_of("pull_bar", fillet_radius=radius).joints.factor for radius in (12, 25, 40)
    )
    assert sharp > plain > round_ > 1


@for_all(any_bodies("pull_bar"), quick=25, proof=500)
def test_the_gauge_is_the_least_section_of_every_bar(body: dict[str, Any]) -> None:
    try:
        request = read_request(body)
    except InfeasibleRequest:
        return
    trunk = request.bait.strands()[0]
    (gap,) = trunk.body.side.gaps.floor_begin.tolist()
    x = np.linspace(0, trunk.path.length, 2001)
    areas = trunk.body.area(x)
    assert float(areas.min()) == pytest.approx(float(trunk.body.area(np.array([gap + 1e-6]))[0]), rel=1e-9)
    assert float(areas[0]) >= LEAST_GRIP * float(areas.min()) * (1 - 1e-9)


def test_a_build_says_what_an_estimate_says_and_its_cut_finds_the_gauge() -> None:
    body = {"style": "pull_bar", "outputs": ["stl"], "checks": {"joint_pull": {"view": "cut"}}}
    made = build(read_request(body))
    told = estimate(read_request(body))
    assert made.metrics["joints"] == told["metrics"]["joints"]
    assert [check["verdict"] for check in made.checks] == ["pass"] * len(made.checks)
    by_end = {torn["extremity"]: torn["area_mm2"] for torn in made.metrics["tear_sections"]}
    # Its tail end comes off through the gauge; its nose is held in the grip itself, where there is more.
    assert by_end["tail_end"] == pytest.approx(FULL * 30, rel=0.02) and min(by_end.values()) == by_end["tail_end"]


def test_a_pull_that_is_too_much_is_mended_by_a_stouter_gauge() -> None:
    check = checks_of({"style": "pull_bar", "require": {"joint_pull_n": 60}})["joint_pull"]
    assert check["verdict"] == "fail" and check["where"]["strand"] == "trunk"
    assert check["text"].startswith("Grips of 25 mm narrow to a gauge of 29.4 mm2 and hold")
    assert [set(remedy["patch"]["params"]) for remedy in check["remedies"]] == [{"thickness"}, {"gauge_width"}]


def test_a_thin_bar_is_mended_both_ways() -> None:
    thin = {"style": "pull_bar", "params": {"gauge_width": 3, "thickness": 3}, "checks": {"thin_feature": {"limit": 4}}}
    (remedy,) = checks_of(thin)["thin_feature"]["remedies"]
    assert remedy["patch"] == {"params": {"thickness": 4.0, "gauge_width": 4.0}}


def test_what_cannot_be() -> None:
    assert faults("pull_bar", gauge_width=12, grip_width=15) == {
        "/params/grip_width": {"minimum": 18.0, "maximum": 40.0, "unit": "mm"}
    }
    assert "/params/grip_width" in faults("pull_bar", gauge_width=12, grip_width=10), "narrower than the gauge"
    allowed = faults("pull_bar", fillet_radius=10, shoulder_radius=1)["/params/fillet_radius"]
    # The drop of 9.5 mm over 0.74, less the shoulder.
    assert allowed["minimum"] == pytest.approx(9.5 / 0.74 - 1, abs=1e-4)
    assert faults("pull_bar", fillet_radius=allowed["minimum"], shoulder_radius=1) == {}
    assert faults("pull_bar", gauge_width=3, grip_width=40, fillet_radius=40, shoulder_radius=1) == {}


def test_the_grip_width_that_is_told_is_taken() -> None:
    """1.5 times 8.4 is a hair more than 12.6 in binary."""
    with pytest.raises(InfeasibleRequest) as refused:
        read_request({"style": "pull_bar", "params": {"gauge_width": 8.4, "grip_width": 10}})
    allowed = next(fault.allowed for fault in refused.value.faults if fault.pointer == "/params/grip_width")
    assert isinstance(allowed, dict) and allowed["minimum"] == 12.6
    read_request({"style": "pull_bar", "params": {"gauge_width": 8.4, "grip_width": allowed["minimum"]}})
