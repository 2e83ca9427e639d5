"""A gauge tells the very figures of the estimate, and the build of the best bait tells them again."""

from __future__ import annotations

from typing import Any

import pytest

from tests.checks.of_a_build import of_both
from tests.fit.fitted import fitted
from worker.build import build
from worker.checks.all import check_all
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.fit.figures import FIGURES
from worker.fit.gauge import Gauge
from worker.request import read_request
from worker.styles import STYLES

RIG = {"kind": "texas", "hook": {"gape": 12, "shank": 10, "wire": 1}, "weights": [{"mass_g": 2}]}


def _told(metrics: dict[str, Any], name: str) -> Any:
    """Where a figure stands in an answer; None where it is a figure of a fit's own."""
    for water in ("fresh_water", "salt_water"):
        if name.startswith(f"{water}_rigged_"):
            return metrics[water]["rigged"][name.removeprefix(f"{water}_rigged_")]
        if name.startswith(f"{water}_"):
            return metrics[water][name.removeprefix(f"{water}_")]
    weakest = metrics["weakest_joint"]
    ways = {
        "weakest_pull_n": weakest and weakest["pull_n"],
        "pull_over_limit": weakest and pytest.approx(weakest["pull_n"] / weakest["limit_n"], rel=1e-5),
        "tip_give_up_down_mm_per_mn": metrics["tip_give_mm_per_mn"]["up_down"],
        "tip_give_side_mm_per_mn": metrics["tip_give_mm_per_mn"]["side"],
        "thinnest_mm": metrics["thinnest_mm"]["across"],
    }
    return ways.get(name, metrics.get(name))


@pytest.mark.parametrize("style", list(STYLES))
def test_every_figure_is_the_estimates(style: str) -> None:
    request = read_request({**STYLES[style].example, "rig": RIG})
    gauge, metrics = Gauge.of(request), estimate(request)["metrics"]
    compared = 0
    for name in FIGURES:
        told = _told(metrics, name)
        if told is not None:
            assert gauge.figure(name) == told, name
            compared += 1
    assert compared >= 24


@pytest.mark.parametrize("style", ["beaded_worm", "craw", "tube"])
def test_every_verdict_is_the_estimates(style: str) -> None:
    request = read_request(
        {"style": style, "require": {"joint_pull_n": 400}, "rig": RIG, "checks": {"thin_feature": {"limit": 6}}}
    )
    told = {check["check"]: (check["verdict"], check["value"]) for check in estimate(request)["checks"]}
    quick = {answer.check: answer for answer in check_all(Subject(request, mends=False))}
    assert {name: answer.verdict for name, answer in quick.items()} == {name: told[name][0] for name in told}
    assert all(answer.remedies == () for answer in quick.values())


def test_parted_beads_have_no_pull_and_no_give() -> None:
    request = read_request({"style": "beaded_worm", "params": {"bead_count": 8}})
    gauge = Gauge.of(request)
    assert [gauge.figure(name) for name in ("trunk_pull_n", "pull_over_limit", "neck_mm", "flexibility_ratio")] == [
        None
    ] * 4
    assert gauge.figure("overlap") is not None


def test_the_best_bait_is_ordered_as_it_is_and_its_build_confirms_it() -> None:
    document = fitted(
        style="beaded_worm",
        free={"bead_count": {"minimum": 13, "maximum": 20}, "joint_blend": {"step": 0.1}},
        require={"mass_g": {"at_most": 7.5}},
        goal="greatest_flexibility",
        outputs=["stl"],
        evaluations=200,
    )
    assert document["outcome"] == "met"
    best = document["best"]
    request = read_request(best["request"])
    assert request.id == best["bait"]
    told, built = estimate(request), build(request)
    assert (best["metrics"], best["checks"]) == (told["metrics"], told["checks"])
    for name, value in best["figures"].items():
        assert value == Gauge.of(request).figure(name)
    assert best["figures"]["flexibility_ratio"] == built.metrics["flexibility_ratio"]
    assert built.metrics["mass_g"] == pytest.approx(best["figures"]["mass_g"], rel=0.01)
    assert [check["verdict"] for check in of_both(built.checks)] == [check["verdict"] for check in best["checks"]]
    assert all(check["verdict"] == "pass" for check in built.checks)
