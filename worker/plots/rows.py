"""The three rows along a bait: its sections, its joints with what is asked of them, and its stiffness."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from worker.drawing.svg import line, number, outline, words
from worker.plots.page import Along, Row
from worker.plots.scales import decades, linear
from worker.strands.roots import Array

AREA, PULL, STIFFNESS = 96.0, 190.0, 120.0
"""Pixels that each row is high."""
CAP = 3.0
"""Half the width of the ends of a range, pixels."""
LIMPEST = 1000.0
"""What is softer than the stiffest place by more is drawn as soft: the very ends have none."""
MOST_POINTS = 1500
"""Sections that are drawn at most: two to a pixel."""


def area_row(along: Along, station: Array, area: Array) -> Row:
    """The trunk's sections."""
    scale = linear(float(area.max(initial=0.0)), 0.0, AREA)
    kept = np.unique(np.linspace(0, len(station) - 1, min(len(station), MOST_POINTS)).round().astype(np.int64))
    low = scale.place(0.0)
    edge = [[along.x(float(station[k])), scale.place(float(area[k]))] for k in kept.tolist()]
    if not edge:
        return Row("Section of the trunk", "mm²", "", AREA, scale, ())
    loop = np.array([[edge[0][0], low], *edge, [edge[-1][0], low]])
    drawn = f'<g class="area">{outline([loop])}</g>'
    return Row("Section of the trunk", "mm²", "area of plastic across it", AREA, scale, (drawn,))


def pull_row(along: Along, joints: Sequence[tuple[float, Mapping[str, Any]]], *, whole: bool) -> Row:
    """Every joint of the trunk: the pull that it holds, from low to high, against what is asked."""
    if not joints:
        at = words(
            along.left + 8,
            PULL / 2,
            "The trunk has no necks." if whole else "It is in pieces: no joint is left.",
            "note",
        )
        return Row("Pull that each joint holds", "N", "", PULL, None, (at,))
    greatest = max(max(each["pull_high_n"], each["limit_n"]) for _, each in joints)
    scale = linear(greatest, 0.0, PULL)
    drawn: list[str] = list(_asked(along, joints, scale.place))
    for place, each in joints:
        x = along.x(place)
        low, typical, high = (scale.place(each[name]) for name in ("pull_low_n", "pull_n", "pull_high_n"))
        drawn.append(line(np.array([[x, low], [x, high]]), "range"))
        drawn += [line(np.array([[x - CAP, end], [x + CAP, end]]), "range") for end in (low, high)]
        drawn.append(mark(x, typical, each["verdict"]))
    note = "line: low to high; disc: holds; triangle: close; cross: falls short; dashes: what is asked"
    return Row("Pull that each joint holds", "N", note, PULL, scale, tuple(drawn))


def _asked(along: Along, joints: Sequence[tuple[float, Mapping[str, Any]]], place: Any) -> Iterator[str]:
    """What is asked, from half-way to the joint before to half-way to the one behind."""
    x = [along.x(where) for where, _ in joints]
    ends = [along.left, *((a + b) / 2 for a, b in itertools.pairwise(x)), along.right]
    points: list[list[float]] = []
    for (begin, end), (_, each) in zip(itertools.pairwise(ends), joints, strict=True):
        level = place(each["limit_n"])
        points += [[begin, level], [end, level]]
    yield line(np.array(points), "asked")


def mark(x: float, y: float, verdict: str) -> str:
    """A disc where it holds, an open triangle where it comes close, a cross where it falls short."""
    if verdict == "pass":
        return f'<circle class="holds" cx="{number(x)}" cy="{number(y)}" r="3.6"/>'
    if verdict == "caution":
        corners = f"M{number(x - 5)} {number(y + 4)}L{number(x + 5)} {number(y + 4)}L{number(x)} {number(y - 5)}Z"
        return f'<path class="close" d="{corners}"/>'
    arms = f"M{number(x - 4.5)} {number(y - 4.5)}L{number(x + 4.5)} {number(y + 4.5)}"
    arms += f"M{number(x - 4.5)} {number(y + 4.5)}L{number(x + 4.5)} {number(y - 4.5)}"
    return f'<path class="short" d="{arms}"/>'


def stiffness_row(along: Along, station: Sequence[float], up_down: Sequence[float], side: Sequence[float]) -> Row:
    """How stiff the trunk is behind the hold: up and down, and sideways."""
    if not station:
        at = words(along.left + 8, STIFFNESS / 2, "It is in pieces and does not bend as one.", "note")
        return Row("Stiffness", "N mm²", "", STIFFNESS, None, (at,))
    greatest = max(*up_down, *side)
    least = max(min(*up_down, *side), greatest / LIMPEST)
    scale = decades(least, greatest, 0.0, STIFFNESS)
    drawn = []
    for values, kind in ((up_down, "updown"), (side, "sideways")):
        points = [[along.x(x), scale.place(max(value, least))] for x, value in zip(station, values, strict=True)]
        drawn.append(line(np.array(points), kind))
    note = "against bending, behind where it is held; whole line: up and down; dots: sideways"
    return Row("Stiffness", "N mm²", note, STIFFNESS, scale, tuple(drawn))
