"""Remedies as text: a maker reads what to change and what that gives; the smallest change on the parameter's steps."""

from __future__ import annotations

from typing import Any

import pytest

from worker.checks.subject import Subject
from worker.checks.thin_feature import thin_limit
from worker.estimate import estimate
from worker.request import read_request
from worker.request.merging import merged
from worker.styles import STYLES

Answer = dict[str, Any]


def _check(name: str, style: str = "beaded_worm", params: Answer | None = None, **members: Any) -> Answer:
    answer = estimate(read_request({"style": style, "params": params or {}, **members}))
    return next(check for check in answer["checks"] if check["check"] == name)


WEAK = {"length": 114.3, "bead_diameter": 8.5, "bead_count": 14, "joint_blend": 0}


def test_a_weak_joint_is_told_in_a_sentence_with_its_remedies() -> None:
    check = _check("joint_pull", params=WEAK, require={"joint_pull_n": 12})
    assert check["text"] == "14 beads of 8.5 mm meet in a neck of 2.45 mm and hold 3.68 N of the 12 N asked."
    assert (check["unit"], check["limit"], check["where"]["joint"]) == ("N", 12, 1)
    texts = [remedy["text"] for remedy in check["remedies"]]
    assert any(text.startswith("18 beads: holds ") and text.endswith(" N") for text in texts)
    assert any(" mm blend: holds " in text for text in texts)
    for remedy in check["remedies"]:
        assert f"{remedy['gives']:.3g}" in remedy["text"]


def test_a_remedy_is_the_smallest_step_that_does() -> None:
    """It aims at 1.1 times the limit; one step less does not reach it."""
    check = _check("joint_pull", params=WEAK, require={"joint_pull_n": 12})
    for remedy in check["remedies"]:
        ((name, value),) = remedy["patch"]["params"].items()
        step = STYLES["beaded_worm"].parameter(name).step
        assert value / step == pytest.approx(round(value / step))
        less = _check("joint_pull", params={**WEAK, name: round(value - step, 6)}, require={"joint_pull_n": 12})
        assert less["value"] < 1.1 * 12 <= remedy["gives"]


def test_a_passing_check_offers_nothing() -> None:
    answer = estimate(read_request({"style": "beaded_worm"}))
    assert all(check["verdict"] == "pass" and check["remedies"] == [] for check in answer["checks"])


def test_beads_apart_are_told_how_to_become_one_piece() -> None:
    params = {"length": 180, "bead_diameter": 9, "bead_count": 14}
    check = _check("single_piece", params=params)
    assert check["text"] == "The bait falls into 14 pieces; the first parts 9 mm from the nose."
    assert check["remedies"]
    for remedy in check["remedies"]:
        assert _check("single_piece", params={**params, **remedy["patch"]["params"]})["verdict"] == "pass"


def test_a_jointed_worm_is_offered_its_core_first() -> None:
    check = _check("joint_pull", "jointed_worm", {"core_diameter": 2.5})
    assert check["verdict"] == "fail"
    assert check["text"].startswith("10 beads of 9 mm hang on a core of 2.5 mm and hold ")
    assert " mm core: holds " in check["remedies"][0]["text"]


def test_salt_that_no_shape_makes_up_for_is_answered_with_plastic() -> None:
    salted = {"grade": "soft", "salt_wt_pct": 45}
    check = _check("joint_pull", params=WEAK, plastic=salted, require={"joint_pull_n": 100})
    assert any("plastic" in remedy["text"] or "ask it for" in remedy["text"] for remedy in check["remedies"])


def test_a_silenced_check_still_answers() -> None:
    check = _check("joint_pull", params=WEAK, checks={"joint_pull": {"silence": True}})
    assert check["silenced"] is True and check["verdict"] == "fail"


def test_a_limit_of_the_request_is_the_limit() -> None:
    assert _check("thin_feature", params=WEAK, checks={"thin_feature": {"limit": 3}})["limit"] == 3
    assert _check("thin_feature", params=WEAK)["limit"] == 1.2


@pytest.mark.parametrize(("width", "limit"), [(6.9, 8), (7, 15), (12, 15), (12.1, 20)])
def test_the_pull_asked_by_girth(width: float, limit: float) -> None:
    """8 N under 7 mm, 15 N to 12 mm, 20 N above (judgement)."""
    assert _check("joint_pull", params={"bead_diameter": width, "bead_count": 30})["limit"] == limit


@pytest.mark.parametrize(("limit", "trunk", "limb"), [
    (None, 1.2, 0.8), (1.2, 1.2, 0.8), (3, 3, 2), (0.9, 0.9, 0.8), (0.5, 0.5, 0.5),
])  # fmt: skip
def test_limbs_are_held_to_two_thirds_of_the_trunks_thickness(limit: float | None, trunk: float, limb: float) -> None:
    """Tips of 0.8 to 1.5 mm fill where a body takes 1.2 mm (common practice, no source)."""
    checks = {} if limit is None else {"checks": {"thin_feature": {"limit": limit}}}
    subject = Subject(read_request({"style": "craw", **checks}))
    assert (thin_limit(subject, "trunk"), thin_limit(subject, "feeler")) == pytest.approx((trunk, limb))


@pytest.mark.parametrize(("asked", "words"), [
    ({}, "soft plastic: "),
    ({"salt_wt_pct": 20}, "soft plastic without salt: "),
    ({"softener_pct": 10}, "soft plastic without softener: "),
    ({"salt_wt_pct": 20, "softener_pct": 10}, "soft plastic without salt and softener: "),
    ({"salt_wt_pct": 20, "softener_pct": 10, "hardener_pct": 2}, "soft plastic without salt, softener and hardener: "),
])  # fmt: skip
def test_a_stronger_plastic_says_what_is_left_out_of_it(asked: Answer, words: str) -> None:
    """Asked of a bait that is weak by its plastic alone: its own figures, of a fiftieth of a grade's strength."""
    weak = {"name": "ours", "properties": {"strength": {"low": 0.02, "typical": 0.03, "high": 0.04}}}
    plastic = {**weak, **asked}
    check = _check("joint_pull", params=WEAK, plastic=plastic, require={"joint_pull_n": 3})
    (remedy,) = check["remedies"]
    assert remedy["text"].startswith(words), remedy["text"]
    assert remedy["patch"]["plastic"]["salt_wt_pct"] == 0
    mended = merged({"plastic": plastic}, remedy["patch"])
    assert mended["plastic"]["grade"] == "soft" and "properties" not in mended["plastic"]
    assert not any(mended["plastic"].get(name) for name in asked)
    assert _check("joint_pull", params=WEAK, require={"joint_pull_n": 3}, **mended)["verdict"] == "pass"


def test_beads_that_all_but_part_are_told_a_change_and_what_it_can_be_asked_for() -> None:
    thin = {"length": 140.09, "bead_diameter": 4.0, "joint_blend": 0.404, "bead_length_ratio": 1.0}
    params = {**thin, "bead_height_ratio": 0.6, "taper": 0.4, "bead_count": 46}
    body = {"style": "beaded_worm", "params": params, "plastic": {"grade": "firm", "salt_wt_pct": 1}}
    check = _check("joint_pull", **body, require={"joint_pull_n": 60})
    (remedy,) = check["remedies"]
    assert "and ask it for" in remedy["text"] and remedy["patch"]["require"]["joint_pull_n"] >= 0.1
    mended = estimate(read_request(merged({**body, "require": {"joint_pull_n": 60}}, remedy["patch"])))
    assert next(each for each in mended["checks"] if each["check"] == "joint_pull")["verdict"] == "pass"
