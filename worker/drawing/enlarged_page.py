"""The drawing of a parameter that is too small to be seen on the whole bait: one place, enlarged."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.drawing.dimension import within
from worker.drawing.layers import layers, over
from worker.drawing.planes import Box, View
from worker.drawing.spans import Span
from worker.drawing.states import States
from worker.drawing.svg import group, number
from worker.drawing.whole_page import CAPTION, GAP, INNER, Field, caption
from worker.strands.roots import Array

LEAST_CHANGE = {"length": 8.0, "choice": 8.0, "number": 2.5, "whole": 2.5}
"""Pixels by which the whole bait has to change, or it is drawn enlarged: less where a place or a share is meant."""
LEAST_SPAN = 28.0
"""Pixels that the greatest named length has to have."""
LARGEST_CELL = 196.0
_KEY = 84.0
"""Pixels that the whole bait may be high, on which the place is framed."""
_AROUND_SPAN, _AROUND_CHANGE = 3.4, 14.0
"""Sides of a window over the length, or over the change, that it shows."""
_SMALLEST = 3.0


@dataclass(frozen=True)
class Enlargement:
    """Square windows of `side` mm in a view, one a state, given by their middles (n, 2)."""

    view: View
    side: float
    middles: Array


def enlargement(states: States, spans: Sequence[Span] | None, field: Field, scale: float) -> Enlargement | None:
    """The windows, where the whole bait at `scale` pixels per mm would not do."""
    most = 0.7 * (field.right - field.left)
    if spans is not None and not spans[0].overall and len(spans[0].points) == 2:
        size = max(span.size for span in spans)
        if size * scale < LEAST_SPAN:
            middles = np.array([span.points.mean(axis=0) for span in spans])
            return Enlargement(spans[0].view, min(max(_AROUND_SPAN * size, _SMALLEST), most), middles)
    change = states.change
    least = LEAST_CHANGE["whole" if states.parameter is None else states.parameter.kind]
    if (spans is not None and spans[0].overall) or change is None or change.view is None:
        return None
    if change.distance * scale >= least:
        return None
    side = min(max(_AROUND_CHANGE * change.distance, _SMALLEST), most)
    # Most of the window stays on the bait.
    low = np.array([field.left, field.top[change.view]])
    high = np.array([field.right, field.top[change.view] + field.height[change.view]])
    inset = np.minimum(side / 4, (high - low) / 2)
    middle = np.clip(np.array(change.place), low + inset, high - inset)
    return Enlargement(change.view, side, np.tile(middle, (len(states.states), 1)))


def page(
    states: States, spans: Sequence[Span] | None, field: Field, large: Enlargement, left: float, top: float
) -> tuple[list[str], float, float]:
    """The drawn parts from (`left`, `top`) on, the pixels that they take down the page, and their scale."""
    count = len(states.states)
    columns = min(count, 3) if count != 4 else 2
    side = min((INNER - (columns - 1) * GAP) / columns, LARGEST_CELL)
    scale = side / large.side
    drawn, y = _key(states, field, large, left, top)
    step = (INNER + GAP) / columns
    for place, state in enumerate(states.states):
        corner_x = left + place % columns * step
        corner_y = y + place // columns * (CAPTION + side + GAP)
        drawn += caption(state.words, state.note, corner_x, corner_y)
        drawn += _cell(states, spans, large, place, corner_x, corner_y + CAPTION, side)
    rows = math.ceil(count / columns)
    return drawn, y + rows * (CAPTION + side) + (rows - 1) * GAP - top, scale


def _key(states: States, field: Field, large: Enlargement, left: float, top: float) -> tuple[list[str], float]:
    """The whole bait with the window's frame on it."""
    high = field.height[large.view]
    scale = min(INNER / (field.right - field.left), _KEY / high)
    corner = np.array([field.left, field.top[large.view]])
    origin = np.array([left, top])

    def place(points: Array) -> Array:
        return np.asarray((points - corner) * scale + origin)

    usual = states.states[states.usual]
    drawn = list(layers(usual.shape, large.view, scale, place))
    middle = place(large.middles[states.usual : states.usual + 1])[0]
    half = large.side * scale / 2
    drawn.append(_square("frame", float(middle[0]) - half, float(middle[1]) - half, 2 * half))
    over = max(0.0, half - (float(middle[1]) - top))
    drawn = [group("key", drawn, transform=f"translate(0 {number(over)})")]
    return drawn, top + over + max(high * scale, half + float(middle[1]) - top) + GAP


def _cell(
    states: States, spans: Sequence[Span] | None, large: Enlargement, place: int, x: float, y: float, side: float
) -> Iterator[str]:
    scale, half = side / large.side, large.side / 2
    middle = large.middles[place]
    window: Box = (middle[0] - half, middle[0] + half, middle[1] - half, middle[1] + half)

    def put(points: Array) -> Array:
        return np.asarray((points - middle) * scale + side / 2)

    state, usual = states.states[place], states.states[states.usual]
    moved = float(np.abs(middle - large.middles[states.usual]).max())
    parts: list[str] = []
    if place == states.usual or moved > large.side / 4:
        parts += layers(state.shape, large.view, scale, put, window=window)
    else:
        parts.append(over(state.shape, usual.shape, large.view, scale, put, window))
    if spans is not None:
        parts += within(put(spans[place].points), state.words, (side / 2, side / 2), (4.0, side - 4.0))
    size = number(side)
    inner = "".join(parts)
    yield f'<svg x="{number(x)}" y="{number(y)}" width="{size}" height="{size}" overflow="hidden">{inner}</svg>'
    yield group("edges", [_square("edge", x, y, side)])


def _square(kind: str, x: float, y: float, side: float) -> str:
    return f'<rect class="{kind}" x="{number(x)}" y="{number(y)}" width="{number(side)}" height="{number(side)}"/>'
