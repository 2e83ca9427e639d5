"""The drawing of a parameter that shapes the sections alone: one section, cut where the strand is widest."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from worker.drawing.svg import group, outline
from worker.drawing.whole_page import CAPTION, GAP, INNER, caption
from worker.strands.roots import Array

_TALLEST = 150.0
_LARGEST = 30.0
"""Greatest scale, pixels per mm."""


def page(
    rims: list[Array], words: list[tuple[str, str]], usual: int, left: float, top: float
) -> tuple[list[str], float]:
    """The cells from (`left`, `top`) on, and their scale in pixels per mm. `words` are each cell's value and note."""
    columns = min(len(rims), 3)
    across = (INNER - (columns - 1) * GAP) / columns
    scale = _scale(rims, across)
    drawn: list[str] = []
    step = (INNER + GAP) / columns
    for place, (rim, (value, note)) in enumerate(zip(rims, words, strict=True)):
        x = left + place % columns * step
        y = top + place // columns * (CAPTION + _tall(rims, scale) + GAP)
        drawn += caption(value, note, x, y)
        middle = np.array([x + across / 2, y + CAPTION + _tall(rims, scale) / 2])
        drawn += _cell(rim, rims[usual], scale, middle, itself=place == usual)
    return drawn, scale


def height_of(rims: list[Array], scale: float) -> float:
    """Pixels down to the end of the last cell."""
    rows = math.ceil(len(rims) / 3)
    return rows * (CAPTION + _tall(rims, scale)) + (rows - 1) * GAP


def _cell(rim: Array, usual: Array, scale: float, middle: Array, *, itself: bool) -> Iterator[str]:
    def put(points: Array) -> Array:
        return np.asarray(points * scale + middle)

    if itself:
        yield group("bait", [outline([put(rim)])])
        return
    yield group("was", [outline([put(usual)])])
    yield group("over", [group("bait", [outline([put(rim)])])], opacity="0.8")


def _scale(rims: list[Array], across: float) -> float:
    wide, tall = (max(2 * float(np.abs(rim[:, axis]).max()) for rim in rims) for axis in (0, 1))
    return min(0.9 * across / wide, _TALLEST / tall, _LARGEST)


def _tall(rims: list[Array], scale: float) -> float:
    return 8 + scale * max(2 * float(np.abs(rim[:, 1]).max()) for rim in rims)
