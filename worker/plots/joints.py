"""`joints.svg`: the bait from above and from the side; on the same axis its sections, its joints and its stiffness."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.drawing.layers import layers
from worker.drawing.model import Shape
from worker.drawing.planes import VIEWS
from worker.drawing.svg import document, line, words
from worker.measures.bending.backbone import beam_of_trunk
from worker.measures.hook.along import place_along
from worker.measures.strand.hollows import net_share
from worker.plots.limbs import LINE, limb_lines, limb_rows
from worker.plots.page import STYLE, WIDTH, Along, Row, axis, framed
from worker.plots.rows import area_row, pull_row, stiffness_row
from worker.plots.words import where_it_tears
from worker.strands.roots import Array

BAIT_HEIGHT = 340.0
"""Pixels that the two views of the bait may be high together."""
WIDEST = 830.0
"""Pixels that the bait may be long."""
BETWEEN = 16.0
TITLE = 20.0
"""Pixels down a row that its title takes, which no line crosses."""
LOOKS = 600
"""Sections at which a trunk of one strand is looked at."""
_SAG = 0.05
_ROUNDED = 1e-4
"""Figures of an answer have six digits: two of them tell a third to this."""


def joints_svg(subject: Subject, metrics: Mapping[str, Any]) -> bytes:
    """The plot of a bait whose `metrics` are given; the same bytes for the same figures."""
    first, second = where_it_tears(subject, metrics)
    drawn: list[str] = [words(24, 34, first, "head"), words(24, 58, second, "head")]
    shape = Shape(subject.strands, subject.hollows)
    boxes = {view: shape.box(view, _SAG) for view in VIEWS}
    begin, end = (pick(box[side] for box in boxes.values()) for pick, side in ((min, 0), (max, 1)))
    tall = sum(box[3] - box[2] for box in boxes.values())
    along = Along(begin, end, min(WIDEST / (end - begin), BAIT_HEIGHT / tall))
    y = 84.0
    drawn += axis(along, y + 14, above=True)
    y += 32
    top = y
    for view, box in boxes.items():
        drawn.append(
            words(24, y + (box[3] - box[2]) * along.scale / 2 + 4, "Above" if view == "top" else "Side", "note")
        )
        drawn += layers(shape, view, along.scale, partial(_placed, along, box[2], y))
        y += (box[3] - box[2]) * along.scale + BETWEEN
    trunk = trunk_joints(subject, metrics)
    station, area = _sections(subject, trunk)
    rows: list[Row] = [area_row(along, station, area), pull_row(along, trunk, whole=subject.pieces == 1)]
    rows.append(stiffness_row(along, *_stiffness(subject, metrics)))
    spans = [top - 4]
    for row in rows:
        drawn += framed(row, along, y)
        spans += [y, y + TITLE]
        y += row.height + 46
    drawn += axis(along, y, above=False)
    drawn += _mark(subject, metrics, along, [*spans, y])
    y += 54
    drawn += limb_rows(subject, metrics, y)
    y += LINE * (len(limb_lines(subject, metrics)) + 1)
    return document(WIDTH, y + 8, first, drawn, STYLE).encode()


def _placed(along: Along, highest: float, top: float, points: Array) -> Array:
    """Points of a view, (n, 2) mm, on the page, with what lies `highest` mm down at `top`; pixels."""
    return np.asarray((points - np.array([along.begin, highest])) * along.scale + np.array([along.left, top]))


def _mark(subject: Subject, metrics: Mapping[str, Any], along: Along, spans: Sequence[float]) -> Iterator[str]:
    """The place where it tears first, through every row: a line from each odd one of `spans` to the next."""
    weakest = metrics["weakest_joint"]
    if weakest is None:
        return
    x = along.x(joint_x(subject, weakest))
    top = spans[0] + 4
    for begin, end in zip(spans[::2], spans[1::2], strict=True):
        yield line(np.array([[x, begin], [x, end]]), "tears")
    yield f'<path class="flag" d="M{x - 7:.1f} {top - 16:.1f}L{x + 7:.1f} {top - 16:.1f}L{x:.1f} {top - 3:.1f}Z"/>'
    anchor = "end" if x > WIDTH - 160 else "start"
    yield words(x + (12 if anchor == "start" else -12), top - 6, "tears first here", "flagged", anchor)


def joint_x(subject: Subject, joint: Mapping[str, Any]) -> float:
    """Where a joint's path point, or the middle of a cut, lies along the bait, mm."""
    if joint.get("view") == "cut":
        return float(joint["centre_mm"][0])
    if joint["kind"] == "ligament" or subject.group_of(joint["joint"] - 1).strand_kind == "trunk":
        return float(place_along(subject.trunk_strands, joint["station_mm"])[0][0])
    strand = next(each for each in subject.strands if each.name == joint["strand"])
    return float(strand.path.frames(np.array([joint["station_mm"]]))[0][0, 0])


def trunk_joints(subject: Subject, metrics: Mapping[str, Any]) -> list[tuple[float, Mapping[str, Any]]]:
    """The trunk's joints with where they lie along the bait, from the nose on."""
    of_trunk = (each for each in metrics["joints"] if subject.group_of(each["joint"] - 1).strand_kind == "trunk")
    return sorted(((joint_x(subject, each), each) for each in of_trunk), key=lambda pair: pair[0])


def _sections(subject: Subject, joints: list[tuple[float, Mapping[str, Any]]]) -> tuple[Array, Array]:
    """Area of the trunk's sections along the bait, mm and mm2; the joints' own figures among them."""
    trunk = subject.trunk_strands
    if len(trunk) == 1:
        body, path = trunk[0].body, trunk[0].path
        station = np.unique(np.concatenate([body.ends, path.length * np.arange(LOOKS + 1) / LOOKS]))
        along, each_area = path.frames(station)[0][:, 0], body.area(station)
        each_area = each_area * net_share(trunk[0], station, subject.hollows)
    else:
        beam = beam_of_trunk(trunk, 0.0, subject.hollows)
        along, each_area = beam.points[:, 0], beam.area
    x = np.concatenate([along, [place for place, _ in joints]])
    area = np.concatenate([each_area, [_bare_area(subject, each) for _, each in joints]])
    order = np.argsort(x, kind="stable")
    return x[order], area[order]


def _bare_area(subject: Subject, joint: Mapping[str, Any]) -> float:
    """mm2 of the trunk alone in a joint, as in the sections beside it: its low pull leaves out what limbs add."""
    alone = float(joint["pull_low_n"] * joint["notch_factor"] / subject.plastic.strength.low)
    area = float(joint["area_mm2"])
    return alone if alone < area * (1 - _ROUNDED) else area


def _stiffness(subject: Subject, metrics: Mapping[str, Any]) -> tuple[list[float], list[float], list[float]]:
    profile = metrics["flex_profile"]
    places = [float(place_along(subject.trunk_strands, each["station_mm"])[0][0]) for each in profile]
    return places, [each["up_down_n_mm2"] for each in profile], [each["side_n_mm2"] for each in profile]
