"""The bargain in a picture: one bait with necks of several sizes, what each holds and how easily it bends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from worker.checks.subject import Subject
from worker.drawing.layers import layers
from worker.drawing.model import Shape
from worker.drawing.svg import document, line, number, words
from worker.figures import estimated_body, metrics_of
from worker.plots.page import STYLE, WIDTH
from worker.plots.rows import mark
from worker.plots.scales import INCH, Scale, linear
from worker.request import read_request
from worker.strands.roots import Array

SHOWN = (4.0, 5.0, 6.0, 7.0, 8.0)
"""Cores that are drawn, mm; the curve goes from the first to the last in steps of a quarter."""
STEP = 0.25
SCALE = 3.3
"""Pixels for a mm of the bait."""
HEAD, ROW = 88.0, 62.0
BAIT_AT, HOLDS_AT, BENDS_AT, BAR = 128.0, 578.0, 752.0, 120.0
"""Where the columns begin and how long a bar may be, pixels."""
CHART_LEFT, CHART_RIGHT, CHART = 96.0, 900.0, 300.0
LOOK = (
    STYLE
    + """
.holding{fill:#111}.bending{fill:#fff;stroke:#111;stroke-width:1.4px}
.curve{fill:none;stroke:#111;stroke-width:1.4px}
"""
)
KEY = "disc: enough; triangle: close; cross: too little"
_SAG = 0.05


@dataclass(frozen=True)
class Neck:
    """One bait of the picture: its core, mm; what its weakest joint holds and has to, N; how easily it bends."""

    core: float
    subject: Subject
    holds: float
    asked: float
    verdict: str
    bends: float


def bargain_svg() -> str:
    """The picture, from the arithmetic of an estimate; the same text each time."""
    shown = [_neck(core) for core in SHOWN]
    curve = [_neck(core) for core in np.arange(SHOWN[0], SHOWN[-1] + STEP / 2, STEP).tolist()]
    title = "A thicker neck holds more and bends less"
    drawn = [
        words(24, 34, title, "head"),
        words(24, 56, "A jointed worm of 5 in and ten beads in soft plastic, with five cores; from above.", "note"),
        words(HOLDS_AT, 74, KEY, "note"),
        words(HOLDS_AT, 56, "it holds", "title"),
        words(BENDS_AT, 56, "it bends as easily", "title"),
    ]
    most = (max(neck.holds for neck in shown), max(neck.bends for neck in shown))
    for place, neck in enumerate(shown):
        drawn += _row(neck, HEAD + place * ROW, most)
    top = HEAD + len(shown) * ROW + 34
    drawn += _chart(shown, curve, top)
    return document(WIDTH, top + CHART + 66, title, drawn, LOOK)


def _neck(core: float) -> Neck:
    subject = Subject(read_request({"style": "jointed_worm", "params": {"core_diameter": round(core, 4)}}))
    metrics = metrics_of(subject, estimated_body(subject))
    weakest = metrics["weakest_joint"]
    return Neck(core, subject, weakest["pull_n"], weakest["limit_n"], weakest["verdict"], metrics["flexibility_ratio"])


def _row(neck: Neck, top: float, most: tuple[float, float]) -> Iterator[str]:
    middle = top + ROW / 2
    yield words(24, middle - 2, f"core {neck.core:g} mm", "name")
    yield words(24, middle + 14, f"{neck.core / INCH:.3f} in", "note")
    shape = Shape(neck.subject.strands, neck.subject.hollows)
    box = shape.box("top", _SAG)
    corner = np.array([box[0], (box[2] + box[3]) / 2])
    yield from layers(shape, "top", SCALE, partial(_placed, corner, np.array([BAIT_AT, middle])))
    yield mark(HOLDS_AT - 12, middle - 6, neck.verdict)
    yield _bar("holding", HOLDS_AT, middle, neck.holds / most[0])
    yield words(HOLDS_AT, middle + 18, f"{neck.holds:.1f} N; asked {neck.asked:g} N", "told")
    yield _bar("bending", BENDS_AT, middle, neck.bends / most[1])
    yield words(BENDS_AT, middle + 18, f"{neck.bends:.1f} times as without relief", "told")


def _placed(corner: Array, at: Array, points: Array) -> Array:
    return np.asarray((points - corner) * SCALE + at)


def _bar(kind: str, left: float, middle: float, share: float) -> str:
    wide = max(share * BAR, 1.0)
    return f'<rect class="{kind}" x="{number(left)}" y="{number(middle - 12)}" width="{number(wide)}" height="12"/>'


def _chart(shown: Sequence[Neck], curve: Sequence[Neck], top: float) -> Iterator[str]:
    """What is held against how easily it bends: each point of the curve is a bait, and none beats another on both."""
    up = linear(max(neck.holds for neck in curve), top, top + CHART)
    across = linear(max(neck.bends for neck in curve), CHART_RIGHT, CHART_LEFT)
    yield from _grid(up, across, top)
    asked = up.place(shown[0].asked)
    yield line(np.array([[CHART_LEFT, asked], [CHART_RIGHT, asked]]), "asked")
    yield words(CHART_RIGHT, asked - 7, f"asked: {shown[0].asked:g} N", "told", "end")
    yield line(np.array([[across.place(neck.bends), up.place(neck.holds)] for neck in curve]), "curve")
    for neck in shown:
        x, y = across.place(neck.bends), up.place(neck.holds)
        yield mark(x, y, neck.verdict)
        # Over the curve, but under the line where it falls short of what is asked: there it would stand on the dashes.
        yield words(x + 10, y + (-8 if neck.holds > neck.asked else 20), f"core {neck.core:g} mm", "told")


def _grid(up: Scale, across: Scale, top: float) -> Iterator[str]:
    bottom = top + CHART
    yield words(24, top - 14, "Pull that the weakest joint holds, N", "title")
    for value, text in up.ticks:
        yield line(np.array([[CHART_LEFT, up.place(value)], [CHART_RIGHT, up.place(value)]]), "mesh")
        yield words(CHART_LEFT - 8, up.place(value) + 4, text, "tick", "end")
    for value, text in across.ticks:
        yield line(np.array([[across.place(value), top], [across.place(value), bottom]]), "mesh")
        yield words(across.place(value), bottom + 18, text, "tick", "middle")
    yield line(np.array([[CHART_LEFT, top], [CHART_LEFT, bottom], [CHART_RIGHT, bottom]]), "edge")
    told = "Flexibility ratio: how many times as easily it bends as the same bait without its relief"
    yield words(CHART_RIGHT, bottom + 42, told, "title", "end")
