"""The worked examples in pictures: measured with the rule that is drawn beside it, each is as large as its mesh."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from tests.open_form.bodies import solid_of
from worker.open_form.examples import EXAMPLES, Example
from worker.plots.worked import WORKED_NAMES, worked_drawing
from worker.request import read_request

SVG = "{http://www.w3.org/2000/svg}"
TENTHS = 0.3
"""Pixels by which a box may be off: its curves sag by 0.2, and its numbers have one digit behind the point."""


def _boxes(root: ElementTree.Element, kind: str) -> list[tuple[float, float]]:
    """Width and height in pixels of what each group of a kind covers."""
    found = []
    for group in root.iter(f"{SVG}g"):
        if group.get("class") == kind:
            text = " ".join(path.get("d", "") for path in group.iter(f"{SVG}path"))
            points = np.array(re.findall(r"-?[\d.]+", text), dtype=float).reshape(-1, 2)
            found.append(tuple(np.ptp(points, axis=0).tolist()))
    return found


def _pixels_a_mm(root: ElementTree.Element) -> float:
    (rule,) = (path for path in root.iter(f"{SVG}path") if path.get("class") == "rule")
    across = [float(x) for x in re.findall(r"[ML](-?[\d.]+)", rule.get("d", ""))]
    (said,) = (said for text in root.iter(f"{SVG}text") if re.fullmatch(r"\d+ mm", said := text.text or ""))
    return (max(across) - min(across)) / float(said.split()[0])


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_a_picture_is_as_large_as_the_solid(example: Example) -> None:
    root = ElementTree.fromstring(worked_drawing(example.name))
    scale = _pixels_a_mm(root)
    length, width, height = solid_of(read_request({**example.body, "tolerance_mm": 0.05, "outputs": ["stl"]})).extent
    above, beside, *_ = _boxes(root, "bait")
    # The rule's own ends are rounded to a tenth of a pixel, too.
    assert above == pytest.approx((length * scale, width * scale), abs=TENTHS + 0.05 * scale, rel=0.005)
    assert beside == pytest.approx((length * scale, height * scale), abs=TENTHS + 0.05 * scale, rel=0.005)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_it_says_what_it_shows_and_what_is_taken_out_of_it(example: Example) -> None:
    text = worked_drawing(example.name)
    root = ElementTree.fromstring(text)
    assert (title := root.find(f"{SVG}title")) is not None
    assert title.text == f"{example.title}. {example.shows}"
    hollow = "hollows" in example.body
    assert bool(_boxes(root, "hollow")) == hollow == ("dashed: taken out" in text)
    assert not {"script", "image", "use", "a"} & {element.tag.removeprefix(SVG) for element in root.iter()}


def test_a_section_that_a_request_says_is_shown() -> None:
    """12 mm wide and 8 high at the nose, 7 and 6 at the tail, straight between, and cut level 2.5 mm below its path."""
    root = ElementTree.fromstring(worked_drawing("section"))
    _, _, section = _boxes(root, "bait")
    width, height = (size / _pixels_a_mm(root) for size in section)
    assert 11 < width <= 12.05
    share = (12 - width) / (12 - 7)
    assert height == pytest.approx((8 - share * (8 - 6)) / 2 + 2.5, abs=0.05)


def test_there_is_none_of_another_name() -> None:
    assert len(WORKED_NAMES) == len(EXAMPLES)
    with pytest.raises(KeyError):
        worked_drawing("a boat")
