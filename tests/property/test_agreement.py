"""An estimate and a build of one request say the same."""

from __future__ import annotations

import math

from tests.checks.of_a_build import of_both
from tests.property.drawn import for_all, requests
from worker.build import build
from worker.estimate import estimate
from worker.request import Request

WITHIN = 0.01
OF_THE_BODY = ("length_mm", "max_width_mm", "max_height_mm", "volume_mm3", "surface_mm2", "mass_g")
EXACTLY = ("pieces", "joints", "weakest_joint", "flexibility_ratio", "thinnest_mm")


@for_all(requests(), quick=24, proof=500)
def test_figures_agree_and_no_verdict_differs(request: Request) -> None:
    before, after = estimate(request), build(request)
    for name in OF_THE_BODY:
        figures = before["metrics"][name], after.metrics[name]
        assert math.isclose(*figures, rel_tol=WITHIN), (name, *figures)
    for name in EXACTLY:
        assert before["metrics"][name] == after.metrics[name], name
    assert before["checks"] == of_both(after.checks)
    assert before["cautions"] == after.cautions


@for_all(requests(), quick=20, proof=1000)
def test_the_figures_hang_together(request: Request) -> None:
    answer = estimate(request)
    metrics = answer["metrics"]
    joints, weakest = metrics["joints"], metrics["weakest_joint"]
    verdicts = {check["check"]: check["verdict"] for check in answer["checks"]}
    assert (metrics["pieces"] > 1) == (verdicts["single_piece"] == "fail")
    for joint in joints:
        assert joint["pull_low_n"] <= joint["pull_n"] <= joint["pull_high_n"]
        assert joint["notch_factor"] >= 1
        assert math.isclose(joint["area_mm2"], math.pi / 4 * joint["equivalent_diameter_mm"] ** 2, rel_tol=1e-4)
    if metrics["pieces"] > 1:
        assert weakest is None and metrics["flexibility_ratio"] is None and "joint_pull" not in verdicts
    elif joints:
        assert weakest["pull_n"] == min(joint["pull_n"] for joint in joints)
        assert verdicts["joint_pull"] == weakest["verdict"]
        assert metrics["flexibility_ratio"] > 0
        if request.params["taper"] == 1 and request.params.get("segment", "ball") == "ball":
            # Beads of one size lie within their girth; fewer and shrinking ones reach beyond the line of theirs.
            # A few shallow ribs of a flat bait that is held behind them change less than a digit.
            assert metrics["flexibility_ratio"] >= 1
