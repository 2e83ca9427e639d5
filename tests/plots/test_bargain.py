"""The picture of the bargain says what estimates say, and shows what its title claims."""

from __future__ import annotations

import itertools
import re
from xml.etree import ElementTree

import pytest

from worker.estimate import estimate
from worker.plots.bargain import CHART, CHART_LEFT, CHART_RIGHT, SHOWN, bargain_svg
from worker.request import read_request

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def root() -> ElementTree.Element:
    return ElementTree.fromstring(bargain_svg())


@pytest.fixture(scope="module")
def figures() -> list[tuple[float, float, str]]:
    """Pull, ratio and verdict of each bait that is shown, by an estimate of it."""
    found = []
    for core in SHOWN:
        metrics = estimate(read_request({"style": "jointed_worm", "params": {"core_diameter": core}}))["metrics"]
        weakest = metrics["weakest_joint"]
        found.append((weakest["pull_n"], metrics["flexibility_ratio"], weakest["verdict"]))
    return found


def told(root: ElementTree.Element) -> list[str]:
    return [each.text or "" for each in root.iter(f"{SVG}text") if each.get("class") == "told"]


def test_what_is_written_beside_each_bait_is_its_estimate(
    root: ElementTree.Element, figures: list[tuple[float, float, str]]
) -> None:
    words = told(root)
    for pull, ratio, _ in figures:
        assert f"{pull:.1f} N; asked 15 N" in words and f"{ratio:.1f} times as without relief" in words


def test_the_thicker_neck_holds_more_and_bends_less(figures: list[tuple[float, float, str]]) -> None:
    for (thin_pull, thin_ratio, _), (pull, ratio, _) in itertools.pairwise(figures):
        assert pull > thin_pull and ratio < thin_ratio


def test_every_point_stands_where_its_axes_say(
    root: ElementTree.Element, figures: list[tuple[float, float, str]]
) -> None:
    ticks = [each for each in root.iter(f"{SVG}text") if each.get("class") == "tick"]
    across = {float(each.text or 0): float(each.attrib["x"]) for each in ticks if each.get("text-anchor") == "middle"}
    up = {float(each.text or 0): float(each.attrib["y"]) - 4 for each in ticks if each.get("text-anchor") == "end"}
    # A mark stands at its bait's row too; those of the chart are the last of their kind.
    discs = [(float(each.attrib["cx"]), float(each.attrib["cy"])) for each in root.iter(f"{SVG}circle")]
    holding = [(pull, ratio) for pull, ratio, verdict in figures if verdict == "pass"]
    assert len(discs) == 2 * len(holding)
    for (x, y), (pull, ratio) in zip(discs[len(holding) :], holding, strict=True):
        assert x == pytest.approx(_between(across, ratio), abs=0.2) and y == pytest.approx(_between(up, pull), abs=0.2)


def _between(ticks: dict[float, float], value: float) -> float:
    (low, at_low), (high, at_high) = min(ticks.items()), max(ticks.items())
    return at_low + (value - low) / (high - low) * (at_high - at_low)


def test_it_stays_on_its_page_and_brings_nothing_from_elsewhere(root: ElementTree.Element) -> None:
    _, _, width, height = (float(part) for part in root.attrib["viewBox"].split())
    for each in root.iter():
        assert "href" not in " ".join(each.attrib) and each.tag in {
            f"{SVG}{name}" for name in ("svg", "title", "style", "rect", "text", "path", "circle", "g")
        }
        if each.tag == f"{SVG}text":
            letters = len(each.text or "") * 7.0  # of a serif of 13 pixels, at the most
            begin = float(each.attrib["x"]) - (letters if each.get("text-anchor") == "end" else 0)
            assert begin >= -1 and (each.get("text-anchor") or begin + letters <= width)
            assert 0 < float(each.attrib["y"]) < height
    (curve,) = (each for each in root.iter() if each.get("class") == "curve")
    x = [float(found) for found in re.findall(r"[ML]([\d.]+) ", curve.attrib["d"])]
    assert min(x) >= CHART_LEFT and max(x) <= CHART_RIGHT and CHART > 0


def test_it_is_the_same_each_time() -> None:
    assert bargain_svg() == bargain_svg()
