"""The joints of what grows out of the trunk: one line a limb, a left and a right that are alike in one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from worker.checks.cuts import WEAKER
from worker.checks.subject import Subject
from worker.drawing.svg import line, words
from worker.plots.rows import mark
from worker.plots.scales import linear
from worker.plots.words import HOLDS

LINE = 22.0
BAR = (300.0, 640.0)
"""Where the bars begin and end, pixels."""
SAME = ("pull_n", "pull_low_n", "pull_high_n", "limit_n", "area_mm2")


def limb_lines(subject: Subject, metrics: Mapping[str, Any]) -> list[tuple[str, Mapping[str, Any]]]:
    """Names and the weakest joint, or weaker cut, of every limb; of a pair that is alike one line for both."""
    weakest: dict[str, Mapping[str, Any]] = {}
    for each in metrics["joints"]:
        if subject.group_of(each["joint"] - 1).strand_kind == "trunk":
            continue
        name = each["strand"]
        if name not in weakest or _share(each) < _share(weakest[name]):
            weakest[name] = each
    for cut in metrics.get("tear_sections") or []:
        name, surely = cut["extremity"], 1 + cut["uncertainty_mm2"] / cut["area_mm2"]
        if name in weakest and _share(cut) * surely < WEAKER * _share(weakest[name]):
            weakest[name] = cut
    lines: list[tuple[str, Mapping[str, Any]]] = []
    for name, each in weakest.items():
        other = weakest.get(f"left{name.removeprefix('right')}") if name.startswith("right ") else None
        if other is not None and all(each[key] == other[key] for key in SAME):
            continue
        twin = weakest.get(f"right{name.removeprefix('left')}") if name.startswith("left ") else None
        both = twin is not None and all(each[key] == twin[key] for key in SAME)
        lines.append((f"{name.removeprefix('left ')}, left and right" if both else name, each))
    return lines


def _share(joint: Mapping[str, Any]) -> float:
    return float(joint["pull_n"] / joint["limit_n"])


def limb_rows(subject: Subject, metrics: Mapping[str, Any], top: float) -> Iterator[str]:
    """The lines from `top` pixels on, under a line of words."""
    lines = limb_lines(subject, metrics)
    if not lines:
        return
    yield words(24, top, "What grows out of it", "title")
    yield words(BAR[0], top, "the pull that its weakest place holds, N; the long stroke: what is asked", "note")
    greatest = max(max(each["pull_high_n"], each["limit_n"]) for _, each in lines)
    scale = linear(greatest, BAR[1], BAR[0])
    for place, (name, each) in enumerate(lines):
        y = top + LINE * (place + 1)
        yield words(24, y + 4, name.capitalize(), "name")
        low, typical, high, asked = (
            scale.place(each[key]) for key in ("pull_low_n", "pull_n", "pull_high_n", "limit_n")
        )
        yield line(np.array([[BAR[0], y], [BAR[1], y]]), "mesh")
        yield line(np.array([[low, y], [high, y]]), "range")
        yield from (line(np.array([[end, y - 3], [end, y + 3]]), "range") for end in (low, high))
        yield line(np.array([[asked, y - 8], [asked, y + 8]]), "asked")
        yield mark(typical, y, each["verdict"])
        told = f"{each['pull_n']:.3g} N of {each['limit_n']:.3g} N asked: {HOLDS[each['verdict']]}"
        yield words(BAR[1] + 16, y + 4, told, "told")
    y = top + LINE * (len(lines) + 1)
    for value, text in scale.ticks:
        yield words(scale.place(value), y, text, "tick", "middle")
