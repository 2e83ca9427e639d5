"""By how much notches count as rounder than they are drawn: a request may set it, and every joint follows."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from worker.build import build
from worker.checks.subject import Subject
from worker.errors import InvalidRequest
from worker.measures.strand.notch import notch_factors, stress_concentration
from worker.request import read_request
from worker.styles import STYLES

SAID = "notch_rounding_mm"


def rounded(rounding: float | None, **body: Any) -> dict[str, Any]:
    asked = {} if rounding is None else {SAID: rounding}
    return {**body, "checks": {"joint_pull": {**asked, **body.get("checks", {}).get("joint_pull", {})}}}


def factors(body: dict[str, Any]) -> list[np.ndarray]:
    return [group.joints.factor for group in Subject(read_request(body)).joint_groups]


def test_the_default_written_or_not_is_one_bait() -> None:
    plain, written, other = (read_request(rounded(each, style="beaded_worm")) for each in (None, 0.5, 0.45))
    assert plain.id == written.id == read_request({"style": "beaded_worm"}).id != other.id


def test_a_notch_is_the_published_one_of_the_blend_and_the_rounding_together() -> None:
    # Roark's table 17.1 (from memory, see tests/outside): a U-groove 2 mm deep in a bar of 10 mm whose root has 1 mm.
    ten, six, groove = np.array([10.0]), np.array([6.0]), np.array([False])
    published = float(stress_concentration(ten, np.array([2.0]), np.array([1.0]), shoulder=groove)[0])
    for blend, rounding in ((0.2, 0.8), (0.5, 0.5), (0.9, 0.1)):
        found = notch_factors(ten, six, np.array([blend]), shoulder=groove, blunting=rounding)
        assert float(found.factor[0]) == pytest.approx(published, rel=1e-12)


@pytest.mark.parametrize("style", sorted(STYLES))
def test_every_joint_of_every_style_follows(style: str) -> None:
    body = STYLES[style].example
    usual, sharper, rounder = (factors(rounded(each, **body)) for each in (None, 0.1, 2.0))
    notched = 0
    for middle, more, less in zip(usual, sharper, rounder, strict=True):
        notched += int((middle > 1.0).sum())
        # The factor of a deeper notch for its radius is the greater one; of no notch it is 1 whatever the rounding.
        assert (more[middle > 1.0] > middle[middle > 1.0]).all()
        assert (less <= middle).all() and (less[middle > 1.0] < middle[middle > 1.0]).all()
    assert notched or sum(map(len, usual)) == 0 or style in ("tube", "bend_rod")


def test_a_grooves_pull_is_strength_times_area_over_the_new_factor() -> None:
    body = {"style": "beaded_worm"}
    usual, sharper = (Subject(read_request(rounded(each, **body))).joints for each in (None, 0.2))
    assert sharper.pull * sharper.factor == pytest.approx(usual.pull * usual.factor, rel=1e-12)
    assert sharper.pull_high == pytest.approx(usual.pull_high, rel=1e-12)  # the high pull knows of no notch


def test_cuts_through_the_solid_follow_too() -> None:
    body: dict[str, Any] = {"style": "beaded_worm", "outputs": ["stl"], "checks": {"joint_pull": {"view": "cut"}}}
    usual, sharper = (build(read_request(rounded(each, **body))).metrics["tear_sections"] for each in (None, 0.1))
    assert [each["area_mm2"] for each in usual] == [each["area_mm2"] for each in sharper]
    assert all(one["notch_factor"] < other["notch_factor"] for one, other in zip(usual, sharper, strict=True))


@pytest.mark.parametrize("rounding", [0, 0.04, 3.1, -1, "thick"])
def test_what_is_no_rounding_is_refused_with_the_range(rounding: Any) -> None:
    with pytest.raises(InvalidRequest) as refused:
        read_request(rounded(rounding, style="grub"))
    (fault,) = refused.value.faults
    assert fault.pointer == f"/checks/joint_pull/{SAID}"
    if not isinstance(rounding, str):
        assert fault.allowed == {"minimum": 0.05, "maximum": 3.0, "unit": "mm"}
