"""`sheet.pdf`: read back by another library, it says what the answer says, on two pages, within its margins."""

from __future__ import annotations

import hashlib
import json
import re
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from worker.build import build
from worker.request import read_request
from worker.sheet.content import _in_water
from worker.sheet.paper import MARGIN, POINTS, SIZES, across, wrapped
from worker.sheet.words import degrees, figure, length, mass, pressure, seconds
from worker.values.cautions import BENCH, PRINTED

ROOT = Path(__file__).resolve().parents[2]
WORM: dict[str, Any] = {
    "style": "jointed_worm",
    "outputs": ["sheet"],
    "plastic": {"grade": "soft", "salt_wt_pct": 10},
    "detail": "coarse",
    "sheet": {
        "title": "Weir jointed, Žut run",
        "customer": "Ferry Lane Tackle",
        "batch": "W-117",
        "recipe": [{"what": "Olive liquid", "amount": "12 drops"}],
        "per_pack": 6,
        "bag_length": "6 in",
        "minutes_at_heat": 8,
        "reheats": 3,
        "cool_as": "hang",
        "rest_hours": 36,
    },
    "shot": {"baits": 60},
}
WORDIEST: dict[str, Any] = {
    "style": "craw",
    "outputs": ["sheet"],
    "detail": "coarse",
    "params": {"length": 120},
    "plastic": {"grade": "firm", "salt_wt_pct": 30, "softener_pct": 10, "hardener_pct": 5},
    "finish": {"colour": "navy", "glitter": {"colour": "gold"}},
    "require": {"joint_pull_n": 200},
    "print": {"nozzle": 2, "bed": {"length": 20, "width": 20, "height": 20}},
    "sheet": {
        "title": "W" * 60,
        "customer": "W" * 60,
        "batch": "W" * 60,
        "note": "W" * 200,
        "paper": "letter",
        "recipe": [{"what": "W" * 60, "amount": "W" * 60}] * 8,
    },
    "shot": {
        "pour_temperature_c": 230,
        "method": "laminate",
        "colours": [{"name": "W" * 60, "colour": "#102030"}] * 4,
        "cost": {"currency": "W" * 60, "plastic_per_l": 20, "salt_per_kg": 3, "extras_per_bait": 2, "work_per_hour": 9},
    },
}
REQUESTS = {"worm": WORM, "wordiest": WORDIEST}


@cache
def made(name: str) -> tuple[bytes, str]:
    """The sheet, and all numbers as text."""
    built = build(read_request(REQUESTS[name]))
    return built.files["sheet.pdf"], json.dumps({"metrics": built.metrics, "checks": built.checks})


def pages(name: str) -> list[pypdfium2.PdfPage]:
    """As another library reads them."""
    return list(pypdfium2.PdfDocument(made(name)[0]))


def text(name: str) -> str:
    """All words, on one line."""
    read = [page.get_textpage().get_text_bounded() for page in pages(name)]
    return " ".join(" ".join(read).split())


LONG: dict[str, Any] = {
    "style": "ribbed_worm",
    "outputs": ["sheet"],
    "detail": "coarse",
    "params": {"length": 150, "tail": "fork"},
    "plastic": {"grade": "firm"},
}
"""It takes up all of the paper beside what is written to its right."""
REQUESTS["long"] = LONG


@pytest.mark.parametrize("name", REQUESTS)
def test_it_has_two_pages_and_keeps_within_the_margins(name: str) -> None:
    found = pages(name)
    assert len(found) == 2
    width, height = (side * POINTS for side in SIZES["letter" if name == "wordiest" else "a4"])
    for page in found:
        assert page.get_size() == pytest.approx((width, height), abs=0.5)
        words = page.get_textpage()
        for place in range(words.count_chars()):
            left, bottom, right, top = words.get_charbox(place)
            if right > left:
                assert left >= (MARGIN - 6) * POINTS and right <= width - MARGIN * POINTS + 1
                assert bottom >= (MARGIN - 3) * POINTS and top <= height - 8 * POINTS


def test_it_says_what_was_asked_and_what_was_found() -> None:
    said, numbers = text("worm"), json.loads(made("worm")[1])
    shot = numbers["metrics"]["shot"]
    for words in (
        "Weir jointed, Žut run",
        "Ferry Lane Tackle",
        "W-117",
        "Olive liquid",
        "12 drops",
        length(numbers["metrics"]["length_mm"]),
        length(numbers["metrics"]["max_width_mm"]).split(" (")[0],
        mass(numbers["metrics"]["mass_g"]),
        "10 % by weight",
        f"{shot['baits_per_litre']:.3g} to a litre",
        "175 °C (347 °F)",
        "No longer than 8 min",
        "reheated 3 times at most",
        "hang by the nose",
        "36 h before packing",
        "6 in a bag, 152.4 mm (6.00 in) inside; 10 packs",
        f"{shot['cooling']['typical_s']:.0f} s",
    ):
        assert words in said, words


@pytest.mark.parametrize("name", REQUESTS)
def test_every_caution_is_on_it(name: str) -> None:
    said = text(name)
    for each in (*BENCH, *PRINTED):
        assert each.text in said, each.topic


def test_every_check_is_on_it_and_what_fails_comes_first_with_a_remedy() -> None:
    said, numbers = text("wordiest"), json.loads(made("wordiest")[1])
    failed = [each for each in numbers["checks"] if each["verdict"] == "fail"]
    assert len(failed) >= 4
    for each in failed:
        assert each["text"] in said
        if each["remedies"]:
            assert f"Remedy: {each['remedies'][0]['text']}" in said
    assert "230 °C (446 °F) was asked for and is not recommended" in said


def test_the_same_request_gives_the_same_bytes_in_another_process() -> None:
    program = (
        "import sys, json, hashlib\n"
        "from worker.build import build\n"
        "from worker.request import read_request\n"
        "print(hashlib.sha256(build(read_request(json.load(sys.stdin))).files['sheet.pdf']).hexdigest())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        input=json.dumps(WORM),
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "PATH": ""},
    )
    assert done.stdout.strip() == hashlib.sha256(made("worm")[0]).hexdigest()


def test_it_has_no_date_of_its_own_and_nothing_that_a_compressor_made() -> None:
    data = made("worm")[0]
    assert set(re.findall(rb"D:(\d{8})", data)) == {b"20000101"}  # what reportlab writes in place of a date
    assert b"FlateDecode" not in data


def test_it_reads_without_colours() -> None:
    """All ink but the picture's is black, white or grey: only operators of grey stand in the page's own stream."""
    data = made("worm")[0]
    assert not re.search(rb"\d rg\b|\d RG\b|\d k\b|\d K\b", data)


def test_a_label_stands_in_no_file() -> None:
    named = build(read_request({**WORM, "label": "Kingfisher"}))
    assert named.files["sheet.pdf"] == made("worm")[0]


@pytest.mark.parametrize(
    ("told", "written"),
    [
        (length(127.0), "127.0 mm (5.00 in)"),  # 25.4 mm an inch (NIST SP 811)
        (mass(28.349523125), "28.3 g (1 oz)"),
        (degrees(175), "175 °C (347 °F)"),
        (seconds(105.9, 280.2), "106 to 280 s"),
        (seconds(0.45, 0.45), "0.45 s"),
        (seconds(103.2, 104.4), "103 to 104 s"),
        (figure(2834.2), "2830"),
        (figure(99.96), "100"),
        (figure(1.5e-5), "0.000015"),
        (figure(1234567.0, 4), "1235000"),
        (pressure(0.0012, 0.012), "1.2 to 12 kPa"),  # a thousand kPa to a MPa
        (pressure(0.3, 0.3), "300 kPa"),
        (pressure(1e-5, 0.02), "under 0.1 to 20 kPa"),
        (pressure(1e-6, 1e-5), "under 0.1 kPa"),
    ],
)
def test_figures_are_written_both_ways(told: str, written: str) -> None:
    assert told == written


@given(st.floats(1e-9, 1e9), st.integers(1, 6))
def test_a_figure_is_its_digits_and_never_a_power_of_ten(value: float, digits: int) -> None:
    written = figure(value, digits)
    assert float(written) == float(f"{value:.{digits}g}") and "e" not in written


def test_no_figure_on_a_sheet_is_a_power_of_ten() -> None:
    body = {
        "style": "stick_worm",
        "outputs": ["sheet"],
        "detail": "coarse",
        "params": {"length": 200},
        "plastic": {"grade": "soft", "salt_wt_pct": 30},
        "shot": {"baits": 100000, "bottle_ml": 200000, "injector_ml": 5000, "pressure_mpa": 10, "handling_s": 3600},
    }
    small = {**body, "params": {}, "shot": {"pressure_mpa": 0.001, "viscosity_low_pa_s": 0.01, "flow_ml_s": 0.1}}
    for each in (body, small):
        document = pypdfium2.PdfDocument(build(read_request(each)).files["sheet.pdf"])
        said = " ".join(" ".join(page.get_textpage().get_text_bounded() for page in document).split())
        assert re.findall(r"\de[+-]\d\d", said) == [] and " kPa" in said and "MPa" not in said


def test_a_word_that_is_too_long_is_broken() -> None:
    lines = wrapped("W" * 60 + " end", 30.0, 8.0)
    assert "".join(lines).replace(" ", "") == "W" * 60 + "end"
    assert all(across(line, 8.0) <= 30.0 for line in lines)


def test_an_open_mould_s_sheet_speaks_of_no_gate() -> None:
    body = {"style": "stick_worm", "outputs": ["sheet"], "detail": "coarse", "mould": {"kind": "open_pour"}}
    built = build(read_request(body))
    document = pypdfium2.PdfDocument(built.files["sheet.pdf"])
    said = " ".join(document[1].get_textpage().get_text_bounded().split())
    assert "Filling poured open" in said and "open pour, aluminium, block" in said
    assert (
        "Injector" not in said.replace("injector and vents", "") and "In channels" not in said and "Clamp 0" not in said
    )
    assert built.metrics["shot"]["fed_from_sprue_g"] == 0
    # An open mould makes the bait up to its open face: what is poured is what the cavity holds.
    moulded = built.metrics["mould"]["cavity_volume_mm3"] / built.metrics["mould"]["growth"] ** 3
    assert built.metrics["shot"]["bait_g"] == pytest.approx(moulded / 1000, rel=1e-4)  # soft plastic: 1.00 g/cm3


def test_a_dipped_bait_s_sheet_speaks_of_no_cavity() -> None:
    body = {"style": "tube", "outputs": ["sheet"], "detail": "coarse", "mould": {"kind": "dipped"}}
    document = pypdfium2.PdfDocument(build(read_request(body)).files["sheet.pdf"])
    said = " ".join(document[1].get_textpage().get_text_bounded().split())
    assert "Filling dipped" in said and "dipped, aluminium, form" in said
    assert "Cavity" not in said and "poured open" not in said


def test_a_sheet_says_what_its_mould_is_taken_to_be_cast_in() -> None:
    body = {"style": "stick_worm", "outputs": ["sheet"], "detail": "coarse", "print": {"cast_in": "plaster"}}
    document = pypdfium2.PdfDocument(build(read_request(body)).files["sheet.pdf"])
    said = " ".join(document[1].get_textpage().get_text_bounded().split())
    assert "one cavity cast in plaster is assumed" in said and "Plaster insulates" in said


@pytest.mark.parametrize(
    ("net", "behaviour", "rate", "says"),
    [
        ((7.8, 8.1), "sinks", 1489.02, "with its rig it sinks at about 1500 mm/s (59 in/s)"),
        ((-0.5, -0.3), "floats", -137.97, "with its rig it floats, and rises at about 140 mm/s (5.4 in/s)"),
        ((0.001, 0.002), "suspends", 8.2, "with its rig it suspends"),
        ((-0.4, 0.5), "suspends", 24.7, "with its rig it may float or sink: weigh a piece of this plastic"),
    ],
)
def test_what_it_does_in_water_is_said_as_well_as_it_is_known(
    net: tuple[float, float], behaviour: str, rate: float, says: str
) -> None:
    """1 in = 25.4 mm; two digits of a rate that is good to a quarter."""
    water = {"net_mass_low_g": net[0], "net_mass_high_g": net[1], "behaviour": behaviour, "sink_rate_mm_s": rate}
    assert _in_water(water, rigged=True) == says
