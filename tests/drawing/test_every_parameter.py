"""Every parameter of every style has a drawing that is whole, safe to show, and tells its values apart."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from worker.drawing import drawing_names
from worker.drawing.sheet import drawn
from worker.drawing.states import States, states_of
from worker.styles import STYLES

SVG = "{http://www.w3.org/2000/svg}"
DRAWN = {"svg", "title", "style", "rect", "g", "path", "text"}
"""The elements that a drawing is made of: none runs, none fetches."""

LONGEST = 400_000

EVERY = [(style.name, name) for style in STYLES.values() for name in drawing_names(style)]
OWN = [[pair for pair in EVERY if pair[0] == style] for style in STYLES]
# One of each style in the quick set, another place of the list in each; they take a second or two each.
QUICK = {pairs[3 * place % len(pairs)] for place, pairs in enumerate(OWN)}


def _marked(pair: tuple[str, str]) -> object:
    return pytest.param(*pair, id=".".join(pair), marks=[] if pair in QUICK else pytest.mark.proof)


@pytest.mark.parametrize(("style", "name"), [_marked(pair) for pair in EVERY])
def test_its_drawing_is_whole_and_changes_with_the_value(style: str, name: str) -> None:
    states = states_of(STYLES[style], name)
    text = drawn(STYLES[style], name, states)
    _holds_as_a_picture(text)
    written = [element.text for element in ElementTree.fromstring(text).iter(f"{SVG}text")]
    assert len(states.states) >= 2 and all(state.words in written for state in states.states)
    assert states.change is not None, "its values look alike"
    _in_order(states)


def _holds_as_a_picture(text: str) -> None:
    root = ElementTree.fromstring(text)
    assert root.tag == f"{SVG}svg" and {element.tag.removeprefix(SVG) for element in root.iter()} <= DRAWN
    assert (title := root.find(f"{SVG}title")) is not None and title.text
    for element in root.iter():
        assert not any(key.startswith("on") or "href" in key for key in element.attrib)
    assert not re.search(r"url\(|@import|javascript|nan|inf\b", text, re.IGNORECASE)
    assert len(text) < LONGEST
    _, _, width, height = (float(number) for number in root.attrib["viewBox"].split())
    assert width == 640 and 100 < height < 1200


def _in_order(states: States) -> None:
    numbers = [state.number for state in states.states if state.number is not None]
    assert numbers == sorted(set(numbers))
    parameter = states.parameter
    if parameter is not None and parameter.kind != "choice":
        assert len(numbers) == len(states.states)
        assert parameter.minimum <= numbers[0] and numbers[-1] <= parameter.maximum
    if parameter is not None and parameter.kind == "choice":
        assert [state.words for state in states.states] == [
            choice for choice in parameter.choices if choice in {state.words for state in states.states}
        ]
