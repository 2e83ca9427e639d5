"""The drawing of a parameter that can be seen on the whole bait."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.drawing.dimension import ROOM, overall, within
from worker.drawing.layers import Placing, layers, over
from worker.drawing.model import Shape
from worker.drawing.planes import VIEWS, View
from worker.drawing.spans import Span
from worker.drawing.states import States
from worker.drawing.svg import words
from worker.strands.roots import Array

INNER = 608.0
"""Pixels between the drawing's margins."""
TALLEST = 520.0
"""Pixels that all cells may be high together."""
CAPTION, GAP, BETWEEN = 36.0, 22.0, 12.0
"""Pixels of a cell's two lines of words, between two cells, and between its two views."""
PAGE = (4.0, 636.0)
"""Pixels across the drawing between which words may stand."""
HOLE = 1.2
"""How much larger a bait has to be drawn for an arrangement that leaves a place free."""
LARGEST = 14.0
"""Greatest scale, pixels per mm."""
_BOX_SAG = 0.05


@dataclass(frozen=True)
class Grid:
    """Cells in `columns`, each `width` by `height` pixels without what stands around it, the views `beside` each other
    or under each other; `room` is what dimensions need to the right and below."""

    columns: int
    beside: bool
    scale: float
    width: float
    height: float
    room: tuple[float, float]


@dataclass(frozen=True)
class Field:
    """What all states take up together, mm: along the bait, and down the page in each view."""

    left: float
    right: float
    top: dict[View, float]
    height: dict[View, float]


def field_of(shapes: Sequence[Shape]) -> Field:
    """The field of several shapes."""
    boxes = {view: [shape.box(view, _BOX_SAG) for shape in shapes] for view in VIEWS}
    every = [box for found in boxes.values() for box in found]
    top = {view: min(box[2] for box in found) for view, found in boxes.items()}
    height = {view: max(box[3] for box in found) - top[view] for view, found in boxes.items()}
    return Field(min(box[0] for box in every), max(box[1] for box in every), top, height)


def grid_of(field: Field, count: int, spans: Sequence[Span] | None) -> Grid:
    """The arrangement in which the bait is drawn largest."""
    named = spans[0] if spans else None
    room = (0.0, 0.0)
    if named is not None and named.overall:
        room = (0.0, ROOM / 2) if _level(named) else (ROOM, 0.0)
    best: Grid | None = None
    for columns in range(1, min(count, 3) + 1):
        across = (INNER - (columns - 1) * GAP) / columns - room[0]
        rows = math.ceil(count / columns)
        down = TALLEST / rows - CAPTION - room[1]
        for beside in (False, True):
            grid = _fitted(field, columns, beside, across, down, room)
            gain = HOLE if count % columns else 1.02
            if best is None or grid.scale > gain * best.scale:
                best = grid
    assert best is not None
    return best


def _fitted(field: Field, columns: int, beside: bool, across: float, down: float, room: tuple[float, float]) -> Grid:
    long = field.right - field.left
    if beside:
        wide, tall = 2 * long, max(field.height.values())
        scale = min((across - BETWEEN - room[0]) / wide, down / tall, LARGEST)
        return Grid(columns, True, scale, wide * scale + BETWEEN + room[0], tall * scale, room)
    tall = sum(field.height.values())
    scale = min(across / long, max(down - BETWEEN, 24.0) / tall, LARGEST)
    return Grid(columns, False, scale, long * scale, tall * scale + BETWEEN, room)


def page(states: States, spans: Sequence[Span] | None, field: Field, grid: Grid, left: float, top: float) -> list[str]:
    """The cells from (`left`, `top`) on."""
    drawn: list[str] = []
    step = (INNER + GAP) / grid.columns
    usual = states.states[states.usual].shape
    for place, state in enumerate(states.states):
        x = left + place % grid.columns * step
        y = top + place // grid.columns * (CAPTION + grid.height + grid.room[1] + GAP)
        drawn += caption(state.words, state.note, x, y)
        for view in VIEWS:
            put = placing(field, grid, view, x, y + CAPTION)
            if place == states.usual:
                drawn += layers(state.shape, view, grid.scale, put)
            else:
                drawn.append(over(state.shape, usual, view, grid.scale, put))
        if spans is not None:
            put = placing(field, grid, spans[place].view, x, y + CAPTION)
            drawn += _dimension(spans[place], state.words, put, field)
    return drawn


def height_of(grid: Grid, count: int) -> float:
    """Pixels down to the end of the last cell."""
    rows = math.ceil(count / grid.columns)
    return rows * (CAPTION + grid.height + grid.room[1]) + (rows - 1) * GAP


def seen_from(grid: Grid) -> str:
    """Which of a cell's two views is which."""
    return "Left: from above; right: from the side" if grid.beside else "Upper: from above; lower: from the side"


def caption(value: str, note: str, x: float, y: float) -> Iterator[str]:
    """The words over a cell whose upper left corner is (x, y)."""
    yield words(x, y + 12, value, "value")
    if note:
        yield words(x, y + 26, note, "note")


def placing(field: Field, grid: Grid, view: View, x: float, y: float) -> Placing:
    """How a view of a cell whose upper left corner is (x, y) gets from mm to pixels."""
    right, down = x, y
    if view == "side" and grid.beside:
        right += (field.right - field.left) * grid.scale + BETWEEN + grid.room[0]
    if grid.beside:
        down += (grid.height - field.height[view] * grid.scale) / 2
    elif view == "side":
        down += field.height["top"] * grid.scale + BETWEEN
    corner = np.array([field.left, field.top[view]])
    return lambda points: (points - corner) * grid.scale + np.array([right, down])


def _dimension(span: Span, text: str, put: Placing, field: Field) -> Iterator[str]:
    points: Array = put(span.points)
    if span.overall:
        return overall(points, text)
    middle = np.array([[(field.left + field.right) / 2, 0.0]])
    centre = put(middle)[0]
    return within(points, text, (float(points[0, 0]), float(centre[1])), PAGE)


def _level(span: Span) -> bool:
    way = span.points[-1] - span.points[0]
    return abs(float(way[0])) > abs(float(way[1]))
