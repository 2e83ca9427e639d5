"""`joints.svg`: what a maker reads off it is what the metrics say, for every kind of bait."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from worker.build import build
from worker.checks.subject import Subject
from worker.figures import estimated_body, metrics_of
from worker.plots import joints_svg
from worker.plots.scales import decades, in_inches, linear, step_of
from worker.request import read_request
from worker.styles import STYLES

DEMO = Path(__file__).parents[2] / "demo_requests"
SVG = "{http://www.w3.org/2000/svg}"
OPEN = [json.loads((DEMO / f"{name}.json").read_text()) for name in ("20_split_drop", "21_lock_swimmer")]


def plotted(body: dict[str, Any]) -> tuple[Subject, dict[str, Any], ElementTree.Element]:
    """The subject, its metrics and the plot."""
    subject = Subject(read_request(body))
    metrics = metrics_of(subject, estimated_body(subject))
    return subject, metrics, ElementTree.fromstring(joints_svg(subject, metrics))


def words_of(root: ElementTree.Element, kind: str) -> list[str]:
    """The texts of a class."""
    return [each.text or "" for each in root.iter(f"{SVG}text") if each.get("class") == kind]


# A rod has no neck: what is said of such a bait is looked at below.
NECKED = [style for style in STYLES if style != "bend_rod"]


SHREDDED = {"style": "tube", "params": {"length": 127, "outer": 20, "tentacles": 40, "tentacle_length": 65}}
"""Its tentacles are weaker for what is asked of them than its wall."""


@pytest.mark.parametrize(
    "body",
    [{"style": style} for style in NECKED] + [SHREDDED, *OPEN],
    ids=[*NECKED, "shredded", "split drop", "swimmer"],
)
def test_it_answers_where_at_what_pull_and_what_is_asked(body: dict[str, Any]) -> None:
    subject, metrics, root = plotted(body)
    weakest = metrics["weakest_joint"]
    assert weakest["pull_n"] / weakest["limit_n"] == min(j["pull_n"] / j["limit_n"] for j in metrics["joints"])
    first, second = words_of(root, "head")
    trunk = subject.group_of(weakest["joint"] - 1).strand_kind == "trunk"
    assert (f"{weakest['station_mm']:.3g} mm" if trunk else weakest["strand"]) in first
    assert f"{weakest['pull_n']:.3g} N" in second and f"{weakest['limit_n']:.3g} N is asked" in second
    assert words_of(root, "flagged") == ["tears first here"]
    marks = [each for each in root.iter() if each.get("class") in ("holds", "close", "short")]
    of_trunk = [j for j in metrics["joints"] if subject.group_of(j["joint"] - 1).strand_kind == "trunk"]
    assert len(marks) == len(of_trunk) + len(words_of(root, "name"))


def test_a_tentacle_tears_where_the_cuts_begin() -> None:
    # 65 % of 127 mm are cut, so that 44.45 mm are not.
    _, metrics, root = plotted(SHREDDED)
    assert metrics["weakest_joint"]["strand"] == "tentacle"
    assert words_of(root, "head")[0] == "It tears first at the tentacles, 44.5 mm (1-3/4 in) from the nose."


@pytest.mark.parametrize("style", STYLES)
def test_it_stays_on_its_page_and_brings_nothing_from_elsewhere(style: str) -> None:
    _, _, root = plotted({"style": style})
    _, _, width, height = (float(part) for part in root.attrib["viewBox"].split())
    for each in root.iter(f"{SVG}text"):
        assert 0 <= float(each.attrib["x"]) <= width
        assert each.text and "nan" not in each.text.lower()
    text = ElementTree.tostring(root, encoding="unicode")
    assert not re.search(r"url\(|@import|javascript|nan|href", text, re.IGNORECASE)
    assert width == 960 and 300 < height < 2000
    colours = set(re.findall(r"#([0-9a-f]{3,6})", text))
    assert all(code == code[: len(code) // 3] * 3 for code in colours), "greys alone"


def test_joints_that_are_all_alike_are_counted() -> None:
    """An even worm of 17 beads has 16 necks of one section: it may tear at any of them."""
    _, metrics, root = plotted({"style": "beaded_worm", "params": {"bead_count": 17}})
    assert len(metrics["joints"]) == 16
    assert words_of(root, "head")[0].endswith("from the nose; 15 others are as weak.")
    _, _, root = plotted({"style": "beaded_worm", "params": {"bead_count": 17, "taper": 0.6}})
    assert "as weak" not in words_of(root, "head")[0]


def test_the_line_to_where_it_tears_crosses_no_title() -> None:
    _, _, root = plotted({"style": "beaded_worm"})
    lines = [each.attrib["d"] for each in root.iter() if each.get("class") == "tears"]
    spans = [[float(part) for part in re.findall(r"[ML][\d.]+ ([\d.]+)", path)] for path in lines]
    titles = [float(each.attrib["y"]) for each in root.iter(f"{SVG}text") if each.get("class") == "title"]
    assert len(spans) == len(titles) + 1 == 4
    assert not any(begin < y < end or begin < y - 10 < end for begin, end in spans for y in titles)


def test_verdicts_are_told_apart_by_their_marks() -> None:
    _, metrics, root = plotted(json.loads((DEMO / "06_core_too_thin.json").read_text()))
    assert {joint["verdict"] for joint in metrics["joints"]} == {"fail"}
    assert len([each for each in root.iter() if each.get("class") == "short"]) == len(metrics["joints"])
    _, metrics, root = plotted({"style": "beaded_worm", "require": {"joint_pull_n": round(28.0, 1)}})
    assert {joint["verdict"] for joint in metrics["joints"]} == {"caution"}
    assert len([each for each in root.iter() if each.get("class") == "close"]) == len(metrics["joints"])
    assert "it comes close" in words_of(root, "head")[1]


def test_a_bait_in_pieces_and_one_without_necks_say_so() -> None:
    _, metrics, root = plotted(json.loads((DEMO / "05_beads_that_part.json").read_text()))
    assert metrics["weakest_joint"] is None and "pieces" in words_of(root, "head")[0]
    assert words_of(root, "flagged") == []
    plain = {"strands": [{"name": "body", "kind": "trunk", "path": {"length": 100}, "girth": [{"at": 0, "width": 9}]}]}
    subject, metrics, root = plotted(plain)
    assert len(metrics["joints"]) == 0 and words_of(root, "head")[0] == "It has no neck to tear at."
    assert f"{subject.rod_pull:.3g} N" in words_of(root, "head")[1]


def test_a_build_gives_the_same_bytes_each_time() -> None:
    body = {"style": "craw", "tolerance_mm": 0.1, "outputs": ["plots"]}
    first, second = (build(read_request(body)) for _ in range(2))
    assert set(first.files) == {"metrics.json", "joints.svg"}
    assert first.files["joints.svg"] == second.files["joints.svg"]
    assert first.files["joints.svg"] == joints_svg(Subject(read_request(body)), first.metrics)


def test_scales() -> None:
    assert [step_of(span, 5) for span in (5, 5.1, 12, 60, 0.3)] == [1, 2, 5, 20, 0.1]
    scale = linear(33, 0, 100)
    assert [value for value, _ in scale.ticks] == [0, 10, 20, 30, 40]
    assert (scale.place(0), scale.place(40)) == (100, 0)
    log = decades(0.3, 40, 0, 90)
    assert [value for value, _ in log.ticks] == pytest.approx([0.1, 1, 10, 100])
    assert log.place(1) == pytest.approx(60)
    # 1 in is 25.4 mm exactly (NIST SP 811).
    assert [in_inches(mm) for mm in (25.4, 12.7, 63.5, 1.5875, 0, -12.7)] == [
        "1 in",
        "1/2 in",
        "2-1/2 in",
        "1/16 in",
        "0 in",
        "-1/2 in",
    ]
