"""What the trade knows of round worms, through real requests: common practice, no source.

A medium round worm (9 mm) in soft plastic, held to the default 15 N; then the text of a check in full.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.outside.made import asked
from worker.estimate import estimate

BEAD, COUNT = 9.0, 14


def _answers(style: str, share: float, **params: Any) -> dict[str, dict[str, Any]]:
    """The checks of a worm whose beads stand `share` diameters apart, by name."""
    length = round(BEAD + (COUNT - 1) * BEAD * share, 4)
    request = asked(style, {"length": length, "bead_diameter": BEAD, "bead_count": COUNT, **params})
    return {answer["check"]: answer for answer in estimate(request)["checks"]}


@pytest.mark.parametrize("blend", [{}, {"joint_blend": 0}])
def test_beads_1_46_diameters_apart_part(blend: dict[str, float]) -> None:
    answers = _answers("beaded_worm", 1.46, **blend)
    assert answers["single_piece"]["verdict"] == "fail"
    assert answers["single_piece"]["value"] == COUNT
    assert answers["overlap"]["verdict"] == "fail"


def test_beads_0_94_diameters_apart_without_a_blend_fail() -> None:
    answers = _answers("beaded_worm", 0.94, joint_blend=0)
    assert answers["single_piece"]["verdict"] == "pass"
    assert answers["joint_pull"]["verdict"] == "fail"


def test_beads_0_87_diameters_apart_with_a_blend_of_0_09_diameters_hold() -> None:
    answers = _answers("beaded_worm", 0.87, joint_blend=0.09 * BEAD)
    assert {answer["verdict"] for answer in answers.values()} == {"pass"}


def test_beads_1_46_diameters_apart_hold_on_a_core_of_two_thirds() -> None:
    answers = _answers("jointed_worm", 1.46, core_diameter=BEAD * 2 / 3)
    assert {answer["verdict"] for answer in answers.values()} == {"pass"}


def test_beads_1_46_diameters_apart_fail_on_a_core_of_a_third() -> None:
    answers = _answers("jointed_worm", 1.46, core_diameter=BEAD / 3)
    assert answers["single_piece"]["verdict"] == "pass"
    assert answers["joint_pull"]["verdict"] == "fail"


# "14 beads of 8.5 mm meet in a neck of 2.5 mm and hold 3.7 N of the 12 N asked; 17 beads hold 12.9 N, a 0.8 mm blend
# 12.7 N": a worm of 4-1/2 in.
def _example(**params: Any) -> dict[str, Any]:
    params = {"length": "4-1/2 in", "bead_diameter": 8.5, "bead_count": 14, "joint_blend": 0, **params}
    answer = estimate(asked("beaded_worm", params, require={"joint_pull_n": 12}))
    return {"weakest": answer["metrics"]["weakest_joint"], **{check["check"]: check for check in answer["checks"]}}


def test_the_example_text() -> None:
    example = _example()
    assert example["weakest"]["equivalent_diameter_mm"] == pytest.approx(2.5, abs=0.05)
    assert example["weakest"]["pull_n"] == pytest.approx(3.7, abs=0.05)
    assert example["joint_pull"]["verdict"] == "fail"
    begins = "14 beads of 8.5 mm meet in a neck of 2.45 mm and hold 3.68 N of the 12 N"
    assert example["joint_pull"]["text"].startswith(begins)


@pytest.mark.parametrize(("change", "pull"), [({"bead_count": 17}, 12.9), ({"joint_blend": 0.8}, 12.7)])
def test_the_example_s_remedies(change: dict[str, Any], pull: float) -> None:
    example = _example(**change)
    assert example["weakest"]["pull_n"] == pytest.approx(pull, abs=0.05)
    assert example["joint_pull"]["verdict"] == "pass"
