"""A bait's silhouette as layers of a drawing: strand over strand, what is taken out dashed, and the default behind."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from worker.drawing.model import Shape
from worker.drawing.planes import Box, View
from worker.drawing.silhouette import Outlined
from worker.drawing.svg import group, outline, trace
from worker.strands.roots import Array

Placing = Callable[[Array], Array]
"""From mm in the view's plane to pixels, (n, 2)."""

PIXEL_SAG = 0.2
"""Pixels by which a drawn curve may sag."""


def layers(
    shape: Shape, view: View, scale: float, place: Placing, *, window: Box | None = None, kind: str = "bait"
) -> Iterator[str]:
    """The bait at `scale` pixels per mm."""
    sag = PIXEL_SAG / scale
    yield group(kind, (_drawn(each, place) for each in shape.seen(view, sag, window)))
    hollows = shape.hollow_edges(view, sag, window)
    if hollows and kind == "bait":
        yield group("hollow", (drawn for each in hollows for drawn in _traced(*each, place)))


def over(shape: Shape, usual: Shape, view: View, scale: float, place: Placing, window: Box | None = None) -> str:
    """The bait laid over what it is by default, which stays to be seen through it."""
    behind = "".join(layers(usual, view, scale, place, window=window, kind="was"))
    return behind + group("over", layers(shape, view, scale, place, window=window), opacity="0.8")


def _drawn(each: Outlined, place: Placing) -> str:
    return outline(place(loop) for loop in each.loops)


def _traced(closed: list[Array], lines: list[Array], place: Placing) -> Iterator[str]:
    if closed:
        yield outline(place(loop) for loop in closed)
    if lines:
        yield trace(place(each) for each in lines)
