"""What can hurt is always told where plastic is poured, and the pour's temperature is held to a floor and a ceiling."""

from __future__ import annotations

from typing import Any

import pytest
from markupsafe import escape

from service.openapi import document
from service.reference_page.page import render
from worker.estimate import estimate
from worker.request import read_request
from worker.values.cautions import BENCH, EVERY_BAIT, PRINTED
from worker.values.mould_materials import MOULD_MATERIALS

SAID = (
    "face shield, gloves, long sleeves",
    "Clamp the mould before the shot",
    "blows back",
    "Damp salt, damp plaster and wet moulds spit",
    "no water near it",
    "Never leave heat unattended",
    "extinguisher",
    "microwave superheats",
    "Dedicated vessels",
    "ceiling 5 ppm, guideline 2",
    "Brown plastic: stop and leave",
    "Never mix an elastomer with plastisol",
    "20 minutes",
    "Children and pets out",
    "small parts",
    "lead are local",
    "litter",
    "supplier's sheet, local codes and licensed practice come first",
)
PRINTS = ("PLA, PETG, ABS or standard resin", "deflection temperature 20 °C over the pour", "stops platinum silicone")


def answer(**members: Any) -> dict[str, Any]:
    """The estimate of a worm."""
    return estimate(read_request({"style": "beaded_worm", **members}))


@pytest.mark.parametrize("members", [{"shot": {}}, {"sheet": {}}, {"outputs": ["sheet"]}, {"outputs": ["master"]}])
def test_the_bench_s_cautions_come_with_the_answer(members: dict[str, Any]) -> None:
    said = " ".join(answer(**members)["cautions"])
    assert [words for words in SAID if words not in said] == []
    if "shot" not in members:
        assert [words for words in PRINTS if words not in said] == []


def test_a_bait_that_is_only_looked_at_keeps_its_few() -> None:
    assert answer()["cautions"] == list(EVERY_BAIT)


def pour(celsius: float, **members: Any) -> dict[str, Any]:
    """The check of a pour."""
    told = answer(shot={"pour_temperature_c": celsius}, **members)["checks"]
    return next(each for each in told if each["check"] == "pour_temperature")


# 160 to 180: the curing study named in values/pouring.py; steps at 200 and 220: judgement.
LADDER = [
    (150, "fail"),
    (159.9, "fail"),
    (160, "pass"),
    (180, "pass"),
    (180.1, "caution"),
    (200, "caution"),
    (201, "caution"),
    (219.9, "caution"),
    (220, "fail"),
    (260, "fail"),
]


@pytest.mark.parametrize(("celsius", "verdict"), LADDER)
def test_the_pour_has_a_floor_and_a_ceiling(celsius: float, verdict: str) -> None:
    told = pour(celsius)
    assert told["verdict"] == verdict
    for remedy in told["remedies"]:
        assert pour(remedy["patch"]["shot"]["pour_temperature_c"])["verdict"] == "pass"
    assert bool(told["remedies"]) == (verdict != "pass")


def test_above_200_the_caution_is_strong_and_from_220_none_is_recommended() -> None:
    assert pour(195)["text"].startswith("Above 180") and pour(201)["text"].startswith("Strong caution")
    assert "No pour at 230 °C is recommended" in pour(230)["text"]


def test_no_pour_no_check() -> None:
    assert all(each["check"] != "pour_temperature" for each in answer()["checks"])


def test_standard_resins_and_filaments_bear_no_pour() -> None:
    """Deflection temperatures at 0.45 MPa (data sheets): PLA 59, PETG 76, ABS 90, standard photopolymers 46 to 62."""
    assert max(59, 76, 90, 62) + 20 < 160
    bears = MOULD_MATERIALS["resin"].deflection
    assert bears is not None and bears.low + 20 < 160 < bears.typical


def test_the_reference_page_tells_them_all() -> None:
    page = render(document())
    for each in (*BENCH, *PRINTED):
        assert str(escape(each.text)) in page


@pytest.mark.parametrize(
    ("material", "celsius", "verdict"),
    [
        ("resin", 160, "pass"),  # typical deflection 180, twenty over the pour
        ("resin", 175, "caution"),  # only the best, 238, bear 195
        ("resin", 219, "fail"),
        ("resin", 125, "fail"),  # too cold; at the usual 175 only the best would bear it
        ("silicone", 175, "pass"),
        ("aluminium", 175, "pass"),
        ("plaster", 175, "pass"),
    ],
)
def test_a_mould_has_to_bear_twenty_degrees_more_than_the_pour(material: str, celsius: float, verdict: str) -> None:
    told = pour(celsius, mould={"material": material})
    assert told["verdict"] == verdict
    request = read_request(
        {"style": "beaded_worm", "mould": {"material": material}, "shot": {"pour_temperature_c": celsius}}
    )
    assert bool(told["remedies"]) == (verdict != "pass")
    for remedy in told["remedies"]:
        mended = estimate(request.changed(remedy["patch"]))["checks"]
        assert next(each for each in mended if each["check"] == "pour_temperature")["verdict"] == "pass"


@pytest.mark.parametrize(
    ("material", "celsius", "verdict", "of_mould", "of_plastic"),
    [
        ("silicone", 205, "caution", "Only the best silicones", "hydrogen chloride: extraction and a respirator"),
        ("silicone", 185, "caution", "Only the best silicones", "Above 180 °C plastisol begins to decompose"),
        ("resin", 219, "fail", "A resin mould gives way", "hydrogen chloride"),
        ("silicone", 230, "fail", "A silicone mould gives way", "No pour at 230 °C is recommended"),
    ],
)
def test_a_mould_that_gives_way_hides_no_warning_of_fumes(
    material: str, celsius: float, verdict: str, of_mould: str, of_plastic: str
) -> None:
    told = pour(celsius, mould={"material": material})
    assert told["verdict"] == verdict and of_mould in told["text"] and of_plastic in told["text"]
    assert pour(celsius)["text"] in told["text"]


def test_a_mould_brings_a_shot_its_check_and_the_cautions() -> None:
    told = answer(mould={})
    assert "shot" in told["metrics"] and any(each["check"] == "pour_temperature" for each in told["checks"])
    assert [words for words in (*SAID, *PRINTS) if words not in " ".join(told["cautions"])] == []
