"""How whole baits bend: figures that follow from each other, and what a maker knows of soft and thick ones."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.outside.made import asked
from worker.build import build
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.measures.strand.bending import second_moments
from worker.request import read_request
from worker.styles import STYLES
from worker.values.plastics import BUILT_IN

BENDING = ("hold_station_mm", "tip_give_mm_per_mn", "flex_profile")
BY_WEIGHT = ("bending_length_mm", "droop_tip_deg")
"""What follows from the bait's weight too: a build weighs its solid, an estimate what arithmetic tells of it."""


def _metrics(style: str, params: dict[str, Any] | None = None, **members: Any) -> dict[str, Any]:
    metrics: dict[str, Any] = estimate(asked(style, params or {}, **members))["metrics"]
    return metrics


@pytest.mark.parametrize("style", ["beaded_worm", "ribbed_worm", "grub", "paddle_tail", "tube"])
def test_an_estimate_and_a_build_tell_the_same(style: str) -> None:
    request = asked(style, {}, outputs=["stl"], tolerance_mm=0.1)
    told, made = estimate(request)["metrics"], build(request).metrics
    for name in BENDING:
        assert told[name] == made[name]
    # The tail weighs what the whole has over its trunk, so a thousandth of the whole is some hundredths of it.
    for name in BY_WEIGHT:
        assert told[name] == pytest.approx(made[name], rel=0.02)


def test_the_trunk_gives_as_its_integral() -> None:
    """mm per mN: the integral of (L - s)^2 / EI over 1000."""
    subject = Subject(asked("ribbed_worm", {"length": 120}))
    grid = subject.body.grid(subject.hold)
    inside = grid.station < 120 - 1e-6
    up_down, sideways = second_moments(subject.body, grid.station[inside])
    lever = 120 - grid.station[inside]
    give = _metrics("ribbed_worm", {"length": 120})["tip_give_mm_per_mn"]
    for name, moment in (("up_down", up_down), ("side", sideways)):
        exact = float((grid.weight[inside] * lever * lever / moment).sum()) / BUILT_IN["soft"].modulus.typical / 1000
        assert give[name] == pytest.approx(exact, rel=2e-3)


def test_the_profile_holds_the_whole_give() -> None:
    """Each stretch is as stiff as it is on the whole: the sum of length x lever^2 / EI is the give."""
    metrics = _metrics("beaded_worm")
    profile, length, hold = metrics["flex_profile"], metrics["length_mm"], metrics["hold_station_mm"]
    step = (length - hold) / len(profile)
    stations = [row["station_mm"] for row in profile]
    assert np.diff(stations) == pytest.approx(np.full(len(profile) - 1, step), rel=1e-3)
    total = sum(step * (length - row["station_mm"]) ** 2 / row["up_down_n_mm2"] for row in profile) / 1000
    assert total == pytest.approx(metrics["tip_give_mm_per_mn"]["up_down"], rel=0.02)


def test_necks_show_in_the_profile() -> None:
    """Barrels on a thin core: the softest stretch is far softer than the stiffest."""
    params = {"length": 120, "bead_count": 8, "core_diameter": 4, "bead_diameter": 9}
    stiff = [row["up_down_n_mm2"] for row in _metrics("jointed_worm", params)["flex_profile"]]
    plain = [row["up_down_n_mm2"] for row in _metrics("stick_worm")["flex_profile"]]
    assert max(stiff) / min(stiff) > 3
    assert max(plain[5:30]) / min(plain[5:30]) < 3


def test_firm_plastic_gives_less_and_droops_less() -> None:
    soft, firm = (_metrics("ribbed_worm", plastic={"grade": grade}) for grade in ("soft", "firm"))
    share = BUILT_IN["soft"].modulus.typical / BUILT_IN["firm"].modulus.typical
    assert firm["tip_give_mm_per_mn"]["side"] == pytest.approx(share * soft["tip_give_mm_per_mn"]["side"], rel=1e-5)
    assert firm["droop_tip_deg"]["air"] < soft["droop_tip_deg"]["air"]
    assert firm["bending_length_mm"] > soft["bending_length_mm"]


def test_salt_stiffens_by_its_volume() -> None:
    """E x (1 + 2.5 p + 14.1 p^2), p = 0.10352 of 20 weight-% (see tests/outside)."""
    bare, salted = (_metrics("ribbed_worm", plastic={"salt_wt_pct": salt}) for salt in (0, 20))
    share = 0.10352
    stiffer = 1 + 2.5 * share + 14.1 * share**2
    ratio = bare["tip_give_mm_per_mn"]["up_down"] / salted["tip_give_mm_per_mn"]["up_down"]
    assert ratio == pytest.approx(stiffer, rel=1e-4)


def test_water_bears_a_bait() -> None:
    """In water it hangs far less than in air; one that is lighter than the water turns its tip up."""
    droop = _metrics("stick_worm", {"length": 150})["droop_tip_deg"]
    assert droop["air"] > 60
    assert 0 <= droop["fresh_water"] < droop["air"] / 3
    assert droop["salt_water"] < 0


def test_bending_length_of_an_even_rod() -> None:
    """(EI / w)^(1/3) of a rod of 9 mm: cube root of E d^2 / (16 rho g)."""
    told = {
        "strands": [
            {
                "name": "rod",
                "kind": "trunk",
                "path": {"length": 160},
                "girth": [{"at": 0, "width": 9}],
                "ends": {"root": "flat", "tip": "flat"},
            }
        ]
    }
    metrics = estimate(read_request(told))["metrics"]
    exact = (0.10 * 81 / 16 / (1.00e-6 * 9.80665)) ** (1 / 3)
    assert metrics["bending_length_mm"] == pytest.approx(exact, rel=3e-3)


def test_each_tail_gives_more_than_the_trunk_that_bears_it() -> None:
    metrics = _metrics("grub")
    tails = metrics["tip_give_mm_per_mn"]["tails"]
    assert tails
    for tail in tails:
        assert tail["side"] + tail["up_down"] > sum(metrics["tip_give_mm_per_mn"][way] for way in ("side", "up_down"))


def test_two_tails_are_told_by_name() -> None:
    tails = _metrics("ribbed_worm", {"tail": "straight", "tail_count": 2})["tip_give_mm_per_mn"]["tails"]
    assert [tail["strand"] for tail in tails] == ["left tail", "right tail"]
    assert tails[0]["side"] == pytest.approx(tails[1]["side"], rel=1e-5)


def test_a_bait_in_pieces_does_not_bend() -> None:
    metrics = _metrics("beaded_worm", {"length": 120, "bead_diameter": 8, "bead_count": 8})
    assert metrics["pieces"] > 1
    assert metrics["tip_give_mm_per_mn"] is metrics["droop_tip_deg"] is metrics["bending_length_mm"] is None
    assert metrics["flex_profile"] == []


def test_it_is_held_where_a_nose_hook_leaves_it() -> None:
    assert _metrics("stick_worm")["hold_station_mm"] == 6
    hooked = _metrics("stick_worm", rig={"kind": "nose", "station": "15 mm"})
    assert hooked["hold_station_mm"] == 15
    assert hooked["tip_give_mm_per_mn"]["side"] < _metrics("stick_worm")["tip_give_mm_per_mn"]["side"]


@pytest.mark.parametrize("style", list(STYLES))
def test_every_style_has_all_of_it(style: str) -> None:
    metrics = _metrics(style)
    assert metrics["pieces"] == 1
    assert 0 < metrics["droop_tip_deg"]["air"] <= 90
    assert metrics["bending_length_mm"] > 5
    assert min(row["side_n_mm2"] for row in metrics["flex_profile"]) > 0
    assert any("judgement" in sentence for sentence in metrics["judgement"])


def test_a_craw_is_held_in_its_trunk_and_not_in_its_fan() -> None:
    """Held where the trunk only begins, its section is nothing and it would hang straight down, however firm."""
    fan = 12.0
    metrics = {grade: _metrics("craw", {"tail_fan": fan}, plastic={"grade": grade}) for grade in ("soft", "firm")}
    assert metrics["soft"]["hold_station_mm"] == fan + 6
    assert metrics["firm"]["droop_tip_deg"]["air"] < 0.5 * metrics["soft"]["droop_tip_deg"]["air"]
    stiff = [row["up_down_n_mm2"] for row in metrics["soft"]["flex_profile"]]
    assert stiff[0] > 0.05 * max(stiff)
