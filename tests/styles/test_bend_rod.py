"""The bend rod: a cylinder, exactly, and what its overhang tells of its plastic."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from tests.outside.elastica import overhang_of_rod
from tests.styles.baits import built, checks_of, faults, section, subject_of
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.request import read_request
from worker.values.plastics import BUILT_IN

GRAVITY = 9.80665
"""m/s2, standard (CGPM 1901)."""


@pytest.mark.parametrize(("diameter", "length"), [(8, 120), (6, 150), (12, 96), (7.5, 60)])
def test_it_is_a_cylinder_with_flat_ends(diameter: float, length: float) -> None:
    exact = math.pi / 4 * diameter**2 * length
    subject = subject_of("bend_rod", diameter=diameter, length=length)
    assert subject.size.volume == pytest.approx(exact, rel=1e-9)
    assert subject.size.surface == pytest.approx(math.pi * diameter * (length + diameter / 2), rel=1e-9)
    solid = built("bend_rod", diameter=diameter, length=length)
    assert solid.volume == pytest.approx(exact, rel=1e-5)
    assert solid.extent == pytest.approx((length, diameter, diameter), abs=0.02)
    assert len(solid.parts) == 1
    # As thick right before its end as in its middle.
    for x in (0.001, length / 2, length - 0.001):
        (rim,) = section(solid, x)
        assert float(rim[:, 0].max() - rim[:, 0].min()) == pytest.approx(diameter, abs=0.02)


@pytest.mark.parametrize("diameter", [6, 8, 10, 12])
@pytest.mark.parametrize("grade", ["soft", "medium", "firm"])
def test_its_overhang_tells_the_modulus(diameter: float, grade: str) -> None:
    """Peirce's cantilever: c^3 = E I / w, with I / w = d^2 / 16 rho g of a rod; N, mm, kg."""
    body = {"style": "bend_rod", "params": {"diameter": diameter, "length": 150}, "plastic": {"grade": grade}}
    subject = Subject(read_request(body))
    told = estimate(subject.request)["metrics"]["bending_length_mm"]
    weight = subject.plastic.density.typical * 1e-6 * GRAVITY  # g/cm3 to N/mm3
    modulus = 16 * weight * told**3 / diameter**2
    assert modulus == pytest.approx(subject.plastic.modulus.typical, rel=0.005)


def test_it_is_long_enough_to_hang_far_enough() -> None:
    """Of every grade the default rod's overhang, twice its bending length, leaves a part of it on the table."""
    for grade in ("soft", "medium"):
        metrics = estimate(read_request({"style": "bend_rod", "plastic": {"grade": grade}}))["metrics"]
        assert 2 * metrics["bending_length_mm"] < 120 - 15, grade


def test_it_has_no_neck_and_holds_by_its_own_section() -> None:
    answer = estimate(read_request({"style": "bend_rod"}))
    assert answer["metrics"]["joints"] == [] and answer["metrics"]["weakest_joint"] is None
    assert answer["metrics"]["flexibility_ratio"] == 1
    check = checks_of({"style": "bend_rod"})["joint_pull"]
    strength = subject_of("bend_rod").plastic.strength.typical
    assert check["verdict"] == "pass" and check["value"] == pytest.approx(strength * math.pi * 16, rel=1e-5)


def test_a_pull_that_is_too_much_is_mended_by_a_stouter_rod() -> None:
    check = checks_of({"style": "bend_rod", "require": {"joint_pull_n": 100}})["joint_pull"]
    assert check["verdict"] == "fail"
    assert check["remedies"][0]["patch"].keys() == {"params"}


def test_what_cannot_be() -> None:
    assert faults("bend_rod", diameter=12, length=60) == {
        "/params/length": {"minimum": 96.0, "maximum": 150.0, "unit": "mm"}
    }
    assert faults("bend_rod", diameter=7.5, length=60) == {}


@pytest.mark.parametrize(("grade", "diameter"), [("soft", 8), ("medium", 12), ("firm", 8), ("firm", 6)])
def test_one_too_short_for_its_plastic_is_told_what_would_do(grade: str, diameter: float) -> None:
    """Peirce's cantilever by an integrator from outside: the stiffest of the grade has to hang over from two diameters.

    The remedy is put in as a client would, and passes.
    """
    body: dict[str, Any] = {
        "style": "bend_rod",
        "params": {"diameter": diameter, "length": max(60, 8 * diameter)},
        "plastic": {"grade": grade},
    }
    plastic = BUILT_IN[grade]
    check = checks_of(body)["rod_overhang"]
    asked = overhang_of_rod(diameter, plastic.modulus.high, plastic.density.typical)
    assert check["verdict"] == "caution" and check["limit"] == pytest.approx(asked, rel=2e-3)
    assert check["value"] == body["params"]["length"] - 2 * diameter
    would = int(re.findall(r"would have to be (\d+) mm long", check["text"])[0])
    assert would == pytest.approx(asked + 2 * diameter, abs=1)
    (remedy,) = check["remedies"]
    assert ("diameter" in remedy["patch"]["params"]) == (would > 150)
    mended = checks_of({**body, "params": {**body["params"], **remedy["patch"]["params"]}})["rod_overhang"]
    assert mended["verdict"] == "pass" and mended["value"] == pytest.approx(remedy["gives"])


def test_of_a_plastic_too_stiff_for_any_rod_the_droop_is_advised() -> None:
    stiff = {"low": 4, "typical": 5, "high": 6, "source": "x"}
    check = checks_of({"style": "bend_rod", "plastic": {"name": "ours", "properties": {"modulus": stiff}}})
    told = check["rod_overhang"]
    assert told["verdict"] == "caution" and told["remedies"] == [] and "measure its droop" in told["text"]
    assert "rod_overhang" not in checks_of({"style": "stick_worm"})
