"""Lengths that can be read off a bait's strands, and which of them a parameter names.

Nothing here knows a style: a parameter names a length if the length is the parameter's value, or that share of the
overall length, at every value that is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.drawing.model import Shape
from worker.drawing.planes import VIEWS, View, flat
from worker.strands.roots import Array
from worker.strands.strand import Strand

CLOSE = 0.006
"""Share by which a length may be off its parameter's value: silhouettes are drawn by, not measured by."""
SQUARE = 0.97
"""Least share of its true length that a span must have on the page."""
OF_RELIEF = 0.05
"""The same for a relief, whose last part of a pitch is shared out among all, and which follows a taper."""


@dataclass(frozen=True)
class Span:
    """A length of `size` mm in a view, from the first of `points` to the last, in mm of the view's plane, (n, 2).

    `overall` spans are those of the whole bait, which are drawn beside it.
    """

    view: View
    points: Array
    size: float
    overall: bool = False


RELIEF = ("pitch", "first pitch", "last pitch", "depth")

Spans = dict[tuple[str, ...], Span]


def named_spans(shapes: Sequence[Shape], values: Sequence[float], unit: str) -> list[Span] | None:
    """For each shape the span that has the parameter's value there, all of one kind; None where there is none."""
    if unit not in ("mm", "%", ""):
        return None
    every = [spans_of(shape) for shape in shapes]
    whole = [spans[("bait", "length")].size for spans in every]
    for key in every[0]:
        found = [spans.get(key) for spans in every]
        sizes = [
            0.0 if span is None else span.size / {"mm": 1.0, "%": length / 100, "": length}[unit]
            for span, length in zip(found, whole, strict=True)
        ]
        close = OF_RELIEF if key[-1] in RELIEF else CLOSE
        if all(abs(size - value) <= close * abs(value) for size, value in zip(sizes, values, strict=True)):
            return [span for span in found if span is not None]
    return None


def spans_of(shape: Shape) -> Spans:
    """Every length that can be read off a bait, the most telling first."""
    spans = dict(_of_bait(shape))
    for strand in (*shape.strands, *shape.hollows):
        if not strand.name.startswith("right"):
            spans |= _of_strand(strand)
    return spans


def _of_bait(shape: Shape) -> Iterator[tuple[tuple[str, ...], Span]]:
    yield from _of_box(shape, "bait")
    trunk = tuple(strand for strand in shape.strands if not strand.limb)
    if len(trunk) < len(shape.strands):
        yield from _of_box(Shape(trunk), "body")


def _of_box(shape: Shape, name: str) -> Iterator[tuple[tuple[str, ...], Span]]:
    boxes = {view: shape.box(view, 0.01) for view in VIEWS}
    whole = name == "bait"
    # The side view is the lower one: there is room below it.
    left, right, top, bottom = boxes["side"]
    level = bottom if whole else (top + bottom) / 2
    yield (name, "length"), Span("side", np.array([[left, level], [right, level]]), right - left, whole)
    for view, direction in zip(VIEWS, ("width", "height"), strict=True):
        left, right, top, bottom = boxes[view]
        place = right if whole else (left + right) / 2
        yield (name, direction), Span(view, np.array([[place, top], [place, bottom]]), bottom - top, whole)


@lru_cache(maxsize=256)
def _of_strand(strand: Strand) -> Spans:
    return {
        (strand.name, *key): span
        for key, span in (*_girths(strand), *_reliefs(strand), *_waists(strand), *_ways(strand))
    }


def _girths(strand: Strand) -> Iterator[tuple[tuple[str, ...], Span]]:
    """Widths and heights at the stations of the girth, where a style puts what it was asked for."""
    length = strand.path.length
    stations = strand.girth.stations
    sizes = [(station.width, station.back + station.belly) for station in stations]
    # The widest first: of equal widths the one is meant that is seen best.
    for place in sorted(range(len(stations)), key=lambda each: -max(sizes[each])):
        station, width = stations[place], sizes[place][0]
        # Clear of a rounded tip, and outside of what the strand grows out of.
        least = 0.3 * width if strand.root is None else strand.root.leaves + 0.4 * width
        at = np.array([min(max(station.at * length, least), length - min(0.3 * width, 0.1 * length))])
        points, left, back = strand.path.frames(at)
        for name, ends in (
            ("width", (points - left * (width / 2), points + left * (width / 2))),
            ("height", (points - back * station.belly, points + back * station.back)),
        ):
            span = _straight(*ends)
            if span is not None:
                yield (name, str(place)), span


def _straight(begin: Array, end: Array) -> Span | None:
    """From one point to another, (1, 3) each, in the view in which it has its true length; None where in neither."""
    way = (end - begin)[0]
    size = float(np.sqrt(way[0] * way[0] + way[1] * way[1] + way[2] * way[2]))
    for view in VIEWS:
        ends = flat(np.concatenate([begin, end]), view)
        if _long(ends) >= SQUARE * size > 0:
            return Span(view, ends, size)
    return None


def _reliefs(strand: Strand) -> Iterator[tuple[tuple[str, ...], Span]]:
    """From crest to crest, and from a crest down to the floor beside it, in the middle of the relief."""
    side = strand.body.side
    crests = len(side.crest_x)
    if crests < 3 or len(side.gaps.station) != crests - 1:
        return
    middle = (crests - 1) // 2
    for name, first in (("pitch", middle), ("first pitch", 0), ("last pitch", crests - 2)):
        here, there = float(side.crest_x[first]), float(side.crest_x[first + 1])
        span = _along(strand, np.array([here, there]), float(side.crest_y[first]))
        if span is not None:
            yield (name,), span
    crest, floor = float(side.crest_y[middle]), float(side.gaps.height[middle])
    points, left, _ = strand.path.frames(side.gaps.station[middle : middle + 1])
    span = _straight(points + floor * left, points + crest * left)
    if span is not None:
        yield ("depth",), span


def _waists(strand: Strand) -> Iterator[tuple[tuple[str, ...], Span]]:
    """Of a strand with one level neck: its width, its length, and the length of the level end before it."""
    side = strand.body.side
    gaps = side.gaps
    if gaps.level is None or len(gaps.station) != 1:
        return
    half = float(gaps.height[0])
    points, left, _ = strand.path.frames(gaps.station)
    neck = np.array([gaps.floor_begin[0], gaps.floor_end[0]])
    end = np.array([side.pieces.begin[0], side.pieces.end[0]])
    for name, span in (
        ("neck", _straight(points - half * left, points + half * left)),
        ("neck length", _along(strand, neck, half)),
        ("end length", _along(strand, end, float(side.crest_y[0]))),
    ):
        if span is not None:
            yield (name,), span


def _along(strand: Strand, stations: Array, out: float) -> Span | None:
    """Along the path, `out` mm to its left."""
    points, left, _ = strand.path.frames(stations)
    size = float(stations[-1] - stations[0])
    for view in VIEWS:
        line = flat(points + out * left, view)
        if size > 0 and abs(_long(line) - size) <= (1 - SQUARE) * size:
            return Span(view, line, size)
    return None


def _ways(strand: Strand) -> Iterator[tuple[tuple[str, ...], Span]]:
    """Along the path: all of it, from where it leaves its parent, and from the stations of its girth on."""
    length = strand.path.length
    leaves = [] if strand.root is None else [("outside", strand.root.leaves)]
    marks = [("whole", 0.0), *leaves, *((f"from {s.at:.4f}", s.at * length) for s in strand.girth.stations[1:-1])]
    for name, begin in marks:
        span = _along(strand, begin + (length - begin) * np.arange(25) / 24, 0.0)
        if span is not None:
            yield (name,), span


def _long(line: Array) -> float:
    way = np.diff(line, axis=0)
    return float(np.sqrt(way[:, 0] * way[:, 0] + way[:, 1] * way[:, 1]).sum())
