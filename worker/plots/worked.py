"""The worked examples of the open form in pictures: each bait as its request has it, from above and from the side.

A flare is drawn from above alone, beside the limbs that grow out there: where a limb comes towards the eye, the edge of
its flare lies within the trunk. A bait whose request says a section is cut too, where it is widest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from worker.drawing.layers import layers
from worker.drawing.model import Shape
from worker.drawing.planes import VIEWS
from worker.drawing.rims import widest_section
from worker.drawing.sheet import FOOT, HEAD, MARGIN, rule
from worker.drawing.svg import document, group, outline, words
from worker.drawing.whole_page import BETWEEN, INNER, field_of, grid_of, placing, seen_from
from worker.open_form.examples import EXAMPLES, Example
from worker.request import read_request
from worker.strands.roots import Array

WORKED_NAMES = tuple(example.name for example in EXAMPLES)
"""The examples that there is a picture of."""


def worked_drawing(name: str) -> str:
    """The picture of a worked example as SVG text, from its strands alone. Raises KeyError where there is none.

    The same text on every machine: lengths are rounded to a tenth of a pixel.
    """
    example = {each.name: each for each in EXAMPLES}[name]
    bait = read_request(example.body).bait
    shape = Shape(bait.strands(), bait.hollows())
    field = field_of([shape])
    grid = grid_of(field, 1, None)
    top, bottom = MARGIN + HEAD, MARGIN + HEAD + grid.height
    drawn = [words(MARGIN, MARGIN + 14, example.title, "head")]
    for view in VIEWS:
        seen = replace(shape, flared=view == "top")
        drawn += layers(seen, view, grid.scale, placing(field, grid, view, MARGIN, top))
    said = seen_from(grid)
    for rim in _sections(example, shape):
        tall = 2 * float(np.abs(rim[:, 1]).max()) * grid.scale
        middle = np.array([MARGIN + INNER / 2, bottom + BETWEEN + tall / 2])
        drawn.append(group("bait", [outline([rim * grid.scale + middle])]))
        bottom += BETWEEN + tall
        said = f"{said}; below: its section where it is widest"
    bottom += FOOT
    drawn.append(words(MARGIN, bottom - 4, f"{said}{'; dashed: taken out' if shape.hollows else ''}.", "foot"))
    drawn += rule(grid.scale, MARGIN + INNER, bottom - 8)
    return document(INNER + 2 * MARGIN, bottom + MARGIN - 4, f"{example.title}. {example.shows}", drawn)


def _sections(example: Example, shape: Shape) -> Iterator[Array]:
    told = {strand["name"] for strand in example.body["strands"] if "section" in strand}
    yield from (widest_section(strand) for strand in shape.strands if strand.name in told)
