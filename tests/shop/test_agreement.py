"""An estimate tells of shot and master what the build does, as near as its volume and length are."""

from __future__ import annotations

from typing import Any

import pytest

from tests.checks.of_a_build import of_both
from worker.build import build
from worker.estimate import estimate
from worker.request import read_request

NEAR = 2e-3
"""Volume to 0.1 %, length to 0.02 mm: what every solid is held to; figures that hang on both to twice as much."""

TOLERANCE = 0.021
"""mm: the mesh's tolerance of 0.02, as much larger as a master is."""


def near(estimated: Any, built: Any, name: str = "") -> None:
    """Numbers near each other, all else equal."""
    if isinstance(estimated, dict):
        for key, value in estimated.items():
            near(value, built[key], key)
    elif isinstance(estimated, list):
        assert len(estimated) == len(built)
        for one, other in zip(estimated, built, strict=True):
            near(one, other, name)
    elif isinstance(estimated, float):
        assert estimated == pytest.approx(built, rel=NEAR, abs=TOLERANCE if name.endswith("_mm") else 1e-6), name
    else:
        assert estimated == built or (isinstance(estimated, int) and abs(estimated - built) <= 1), name


@pytest.mark.parametrize("style", ["beaded_worm", "craw", "leech", "tube"])
def test_estimate_and_build_agree(style: str) -> None:
    body: dict[str, Any] = {
        "style": style,
        "outputs": ["master"],
        "plastic": {"salt_wt_pct": 12},
        "shot": {"cost": {"plastic_per_l": 10}},
    }
    if style != "tube":  # which has no middle for a core
        body["shot"] |= {"method": "core_shot", "core_diameter": 2}
    request = read_request(body)
    before, after = estimate(request), build(request)
    for name in ("shot", "master"):
        near(before["metrics"][name], {**after.metrics[name]})
    by_arithmetic = {each["check"]: each["verdict"] for each in before["checks"]}
    assert by_arithmetic == {each["check"]: each["verdict"] for each in of_both(after.checks)}
    assert before["cautions"] == after.cautions
