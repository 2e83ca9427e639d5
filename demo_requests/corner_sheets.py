"""A sheet a style over the corners of its ranges: python -m demo_requests.corner_sheets [STYLE ...]

Each bait has one parameter at an end of its range and the rest at their defaults, or, for the last ones, each number at
its least, at its greatest, or at one and the other by turns; where an end does not go with the rest, the nearest value
that does stands for it. Of more corners than a sheet has places, those that change the bait most are shown. Nothing is
left to chance: the same styles give the same sheets.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw

from worker.drawing.change import greatest_change
from worker.drawing.dials import dials_of, drawing_names, in_words
from worker.drawing.model import Model, Shape
from worker.drawing.states import states_of
from worker.drawing.values import nearest
from worker.picture import draw, finish_from_request, prepare
from worker.picture.lettering import width_of, write
from worker.solid.join import joined
from worker.styles import STYLES, Style
from worker.values.parameter import Parameter

OUT = Path(__file__).parent / "corners"
ACROSS, PLACES = 4, 24
WIDTH, HEIGHT, WORDS = 300, 200, 34
TEXT, NOTE = 14, 12
INK, FAINT = "#23291f", "#6a705f"
TOLERANCE_MM = 0.05
COLOURS = ("#5f7a2e", "#8a5a2b", "#4a6d7c", "#7c3f52")
LARGEST = 150_000
INSIDE = 0.1
"""What a change of a hollow counts beside one of the outlines: it shows less (judgement)."""


@dataclass(frozen=True)
class Corner:
    """A bait at a corner: two lines of words, its parameters, and how far it lies from the default, mm."""

    words: str
    note: str
    params: dict[str, Any]
    distance: float


def main(names: list[str]) -> None:
    """Writes the sheets of the styles named, or of all."""
    OUT.mkdir(exist_ok=True)
    for place, style in enumerate(STYLES.values()):
        if not names or style.name in names:
            _write(style, COLOURS[place % len(COLOURS)])


def corners(style: Style) -> list[Corner]:
    """The corners that a sheet has room for: the default, single ones by the order of the parameters, all of them."""
    combined = list(_combined(style))
    singles = list(_singles(style))
    room = PLACES - 1 - len(combined)
    kept = sorted(singles, key=lambda corner: -corner.distance)[:room]
    default = Corner("defaults", "", style.defaults(), 0.0)
    return [default, *(corner for corner in singles if corner in kept), *combined]


def _singles(style: Style) -> Iterator[Corner]:
    for name in drawing_names(style):
        states = states_of(style, name)
        usual = states.states[states.usual]
        for place, state in enumerate(states.states):
            end = place in (0, len(states.states) - 1) or state.number is None
            distance = _seen(usual.shape, state.shape)
            if place != states.usual and end and distance > 0:
                note = f"with {states.with_words}" if states.with_words else state.note if state.number is None else ""
                yield Corner(f"{in_words(name)}: {_plain(state.words)}", note, dict(state.params), distance)


def _seen(usual: Shape, other: Shape) -> float:
    """How far the bait's own outlines move, mm; what changes inside of it alone counts for little."""
    outside = greatest_change(Shape(usual.strands), Shape(other.strands))
    if outside is not None:
        return outside.distance
    inside = greatest_change(usual, other)
    return 0.0 if inside is None else INSIDE * inside.distance


def _combined(style: Style) -> Iterator[Corner]:
    """Parameters are moved in the order of their declaration, each as far as those before it let it go."""
    for words, pattern in (("all least", "0"), ("all most", "1"), ("least and most", "01"), ("most and least", "10")):
        model, params = Model(style), style.defaults()
        numbers = [each for each in style.parameters if isinstance(each, Parameter) and each.kind != "choice"]
        for place, parameter in enumerate(numbers):
            end = (parameter.minimum, parameter.maximum)[int(pattern[place % len(pattern)])]
            (dial,) = dials_of(style, parameter.name)
            value = nearest(model, dial, params, float(end))
            params = dial.put(params, int(value) if parameter.kind == "whole" else value)
        yield Corner(words, "as far as they go together", params, 0.0)


def _write(style: Style, colour: str) -> None:
    began = time.perf_counter()
    shown = corners(style)
    rows = -(-len(shown) // ACROSS)
    sheet = Image.new("RGB", (ACROSS * WIDTH, rows * (HEIGHT + WORDS)), "white")
    pen = ImageDraw.Draw(sheet)
    for place, corner in enumerate(shown):
        left, top = place % ACROSS * WIDTH, place // ACROSS * (HEIGHT + WORDS)
        solid = joined(style.strands(corner.params), TOLERANCE_MM, style.hollows(corner.params))
        if len(solid.parts) > 1 or solid.through_holes:
            print(f"{style.name} {corner.words}: {len(solid.parts)} pieces, {solid.through_holes} holes through")
        prepared = prepare(solid.vertices, solid.triangles, finish_from_request({"colour": colour}))
        sheet.paste(draw(prepared, width=WIDTH, height=HEIGHT), (left, top + WORDS))
        write(pen, (left + 10, top + 18), _fitted(corner.words), TEXT, INK)
        write(pen, (left + 10, top + 32), corner.note, NOTE, FAINT)
    path = OUT / f"{style.name}.webp"
    quality = 84
    sheet.save(path, quality=quality, method=4)
    while path.stat().st_size > LARGEST:
        quality -= 6
        sheet.save(path, quality=quality, method=4)
    print(f"{path.name}: {len(shown)} baits, {path.stat().st_size} bytes, {time.perf_counter() - began:.1f} s")


def _plain(words: str) -> str:
    """Text of the typeface's own characters."""
    return words.replace("\N{DEGREE SIGN}", " deg")


def _fitted(words: str) -> str:
    while width_of(words, TEXT) > WIDTH - 16:
        words = words[:-1]
    return words


if __name__ == "__main__":
    main(sys.argv[1:])
