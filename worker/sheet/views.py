"""The bait from above and from the side with its sizes, and under it the joints at their places along it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.drawing.model import Shape
from worker.drawing.planes import VIEWS, Box, View
from worker.drawing.svg import thinned
from worker.plots.joints import trunk_joints
from worker.plots.limbs import limb_lines
from worker.sheet.paper import MARGIN, Paper
from worker.sheet.parts import BODY, SMALL, heading
from worker.sheet.words import length, newtons
from worker.strands.roots import Array

SIDE_ROOM = 34.0
"""mm to the right of the views, for the sizes across."""
TALLEST = 66.0
"""mm that both views may be high together."""
BETWEEN, PLOT = 5.0, 22.0
_SAG = 0.05
_INK = 0.88
_DASHED = (0.8, 0.6)


@dataclass(frozen=True)
class Laid:
    """How the bait lies on the paper: mm of paper for a mm of bait, where x = `begin` lies, and its two boxes."""

    scale: float
    begin: float
    left: float
    boxes: Mapping[View, Box]

    def x(self, along: float) -> float:
        """Where a place along the bait lies."""
        return self.left + (along - self.begin) * self.scale


def laid(paper: Paper, shape: Shape) -> Laid:
    """At its own size where the paper has room, else smaller."""
    boxes = {view: shape.box(view, _SAG) for view in VIEWS}
    begin, end = min(box[0] for box in boxes.values()), max(box[1] for box in boxes.values())
    tall = sum(box[3] - box[2] for box in boxes.values())
    room = paper.right - MARGIN - SIDE_ROOM
    return Laid(min(1.0, room / (end - begin), TALLEST / tall), begin, MARGIN, boxes)


def views(paper: Paper, y: float, subject: Subject, metrics: Mapping[str, Any]) -> float:
    """The views, sizes and joints from `y` on; gives where the next heading stands."""
    shape = Shape(subject.strands, subject.hollows)
    how = laid(paper, shape)
    size = "at its own size, if printed at 100 %" if how.scale == 1 else f"at {how.scale:.2f} of its size"
    y = heading(paper, MARGIN, y, paper.right - MARGIN, f"Above and from the side, nose left, {size}")
    sizes = {"top": metrics["max_width_mm"], "side": metrics["max_height_mm"]}
    for view, box in how.boxes.items():
        _drawn(paper, shape, view, how, y)
        low = y + (box[3] - box[2]) * how.scale
        _upright(paper, how.x(box[1]) + 4, y, low, "width" if view == "top" else "height", length(sizes[view]))
        y = low + BETWEEN
    box = how.boxes["side"]
    _level(paper, how.x(box[0]), how.x(box[1]), y, f"length {length(metrics['length_mm'])}")
    return _joints(paper, y + 7, subject, metrics, how)


def _drawn(paper: Paper, shape: Shape, view: View, how: Laid, top: float) -> None:
    corner = np.array([how.begin, how.boxes[view][2]])

    def placed(loop: Array) -> Array:
        # Points that a printed line hides anyway are left out, as on a drawing of eight pixels a millimetre.
        return np.asarray(thinned((loop - corner) * how.scale * 8) / 8 + np.array([how.left, top]))

    for each in shape.seen(view, _SAG):
        paper.loops([placed(loop) for loop in each.loops], _INK)
    for closed, lines in shape.hollow_edges(view, _SAG):
        paper.loops([placed(loop) for loop in closed], None, 0.15, _DASHED)
        paper.lines([(each - corner) * how.scale + np.array([how.left, top]) for each in lines], 0.15, _DASHED)


def _level(paper: Paper, left: float, right: float, y: float, text: str) -> None:
    for end in (left, right):
        paper.line(end, y - 3, end, y + 1, 0.15)
    paper.line(left, y, right, y, 0.15)
    paper.write((left + right) / 2, y + 3, text, BODY, anchor="middle")


def _upright(paper: Paper, x: float, top: float, low: float, name: str, text: str) -> None:
    for end in (top, low):
        paper.line(x - 3, end, x + 1, end, 0.15)
    paper.line(x, top, x, low, 0.15)
    middle = (top + low) / 2
    millimetres, inches = text.split(" (")
    paper.write(x + 2, middle - 1.2, name, SMALL, grey=0.25)
    paper.write(x + 2, middle + 1.8, millimetres, BODY)
    paper.write(x + 2, middle + 4.6, f"({inches}", BODY)


def _joints(paper: Paper, y: float, subject: Subject, metrics: Mapping[str, Any], how: Laid) -> float:
    """The pull of the trunk's joints at their places; one line of words for each limb."""
    found = trunk_joints(subject, metrics)
    limbs = limb_lines(subject, metrics)
    if not found and not limbs:
        return y + 2
    y = heading(paper, MARGIN, y + 2, paper.right - MARGIN, "Joints: the pull that each holds, N")
    if found:
        y = _plot(paper, y + 1, found, how)
    if limbs:
        told = "; ".join(
            f"{name} {newtons(each['pull_n'])} of {newtons(each['limit_n'])} asked" for name, each in limbs
        )
        y = paper.paragraph(MARGIN, y, paper.right - MARGIN, f"What grows out of it: {told}.", BODY)
    return y + 2.5


def _plot(paper: Paper, y: float, found: list[tuple[float, Mapping[str, Any]]], how: Laid) -> float:
    most = math.ceil(max(max(each["pull_high_n"], each["limit_n"]) for _, each in found))
    low = y + PLOT

    def at(pull: float) -> float:
        return float(low - min(pull / most, 1.0) * PLOT)

    right = how.x(max(box[1] for box in how.boxes.values()))
    paper.line(how.left, low, right, low, 0.2)
    for pull in (0, most):
        paper.line(how.left - 1, at(pull), how.left, at(pull), 0.2)
        paper.write(how.left - 1.5, at(pull) + 0.9, f"{pull:.0f}", SMALL, anchor="end")
    for place, each in found:
        x = how.x(place)
        paper.line(x, at(each["pull_low_n"]), x, at(each["pull_high_n"]), 0.2)
        for end in ("pull_low_n", "pull_high_n"):
            paper.line(x - 0.6, at(each[end]), x + 0.6, at(each[end]), 0.2)
        paper.box(
            x - 0.8, at(each["pull_n"]) - 0.8, 1.6, 1.6, {"pass": 0.0, "caution": 0.6, "fail": 1.0}[each["verdict"]]
        )
        asked = at(each["limit_n"])
        paper.line(x - 1.6, asked, x + 1.6, asked, 0.35, (0.7, 0.5))
    weakest = min(found, key=lambda pair: round(pair[1]["pull_n"] / pair[1]["limit_n"], 9))[1]
    notes = [
        f"joint {weakest['joint']} holds",
        f"{newtons(weakest['pull_n'])} N ({newtons(weakest['pull_low_n'])} to {newtons(weakest['pull_high_n'])})",
        f"of {newtons(weakest['limit_n'])} N asked",
        "stroke: low to high",
        "dashes: what is asked",
        "black: holds, grey: close,",
        "white: falls short",
    ]
    for row, text in enumerate(notes):
        paper.write(right + 3, y + 1.5 + row * PLOT / len(notes), text, SMALL)
    return low + paper.step(BODY) + 0.5
