"""One parameter's drawing: the bait at a few of its values, on one scale, with what the parameter names."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from worker.drawing import enlarged_page, section_page, whole_page
from worker.drawing.dials import drawing_names
from worker.drawing.enlarged_page import enlargement
from worker.drawing.rims import widest_section
from worker.drawing.states import States, states_of
from worker.drawing.svg import document, line, words
from worker.drawing.whole_page import INNER, field_of, grid_of
from worker.strands.roots import Array
from worker.styles.style import Style

MARGIN, HEAD, FOOT = 16.0, 34.0, 40.0
RULES_MM = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0)


def drawing(style: Style, name: str) -> str:
    """The drawing of a parameter as SVG text. Raises KeyError where the style has no such parameter.

    The same parameter gives the same text on every machine: lengths are rounded to a tenth of a pixel, and nothing in
    it depends on time or chance.
    """
    if name not in drawing_names(style):
        raise KeyError(name)
    return drawn(style, name, states_of(style, name))


def drawn(style: Style, name: str, states: States) -> str:
    """The drawing of these states of a parameter."""
    spans = states.named
    field = field_of([state.shape for state in states.states])
    grid = grid_of(field, len(states.states), spans)
    large = enlargement(states, spans, field, grid.scale)
    top = MARGIN + HEAD
    rims = _sections(states)
    if rims:
        said = [(state.words, state.note) for state in states.states]
        body, scale = section_page.page(rims, said, states.usual, MARGIN, top)
        tall, where = section_page.height_of(rims, scale), "Cut where it is widest"
    elif large is None:
        body = whole_page.page(states, spans, field, grid, MARGIN, top)
        tall, scale = whole_page.height_of(grid, len(states.states)), grid.scale
        where = whole_page.seen_from(grid)
    else:
        body, tall, scale = enlarged_page.page(states, spans, field, large, MARGIN, top)
        where = f"Enlarged: the framed place from {'above' if large.view == 'top' else 'the side'}"
    title = states.parameter.title if states.parameter is not None else style.rows(name).title
    subject = f"{style.title}: {title[0].lower()}{title[1:]}"
    bottom = top + tall + FOOT
    head = words(MARGIN, MARGIN + 14, subject + (f", with {states.with_words}" if states.with_words else ""), "head")
    dashed = "; dashed: as by default" if len(states.states) > 1 else ""
    foot = [words(MARGIN, bottom - 4, f"{where}{dashed}.", "foot"), *rule(scale, MARGIN + INNER, bottom - 8)]
    told = f"{subject}: {', '.join(state.words for state in states.states)}"
    return document(INNER + 2 * MARGIN, bottom + MARGIN - 4, told, [head, *body, *foot])


def _sections(states: States) -> list[Array]:
    """The sections to be shown, where it is them that the parameter changes."""
    if states.change is None or states.change.view is not None:
        return []
    every = ({strand.name: strand for strand in state.shape.strands} for state in states.states)
    return [widest_section(strands[states.change.name]) for strands in every]


def rule(scale: float, right: float, y: float) -> Iterator[str]:
    """A short bench rule that ends at `right`."""
    long = next((each for each in RULES_MM if each * scale >= 24), RULES_MM[-1])
    begin = right - long * scale
    yield line(np.array([[begin, y - 4], [begin, y], [right, y], [right, y - 4]]), "rule")
    yield words(begin - 6, y + 4, f"{long:g} mm", "note", "end")
