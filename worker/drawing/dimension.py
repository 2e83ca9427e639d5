"""Dimension lines: between arrowheads, or with them outside where there is no room; the size stands with them."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from worker.drawing.svg import line, number, words
from worker.strands.roots import Array

BESIDE = 13.0
"""Pixels from the bait to an overall dimension."""
ROOM = 58.0
"""Pixels that an overall dimension to the right of a bait needs, its size included; below, half of it."""
_TIP, _HALF_TIP = 7.0, 2.4
_TIGHT = 26.0
"""Below so many pixels the arrowheads stand outside."""
_OUT = 13.0
_LETTER = 6.8
"""Pixels that a letter of a size takes across, at the most."""


def overall(points: Array, text: str) -> Iterator[str]:
    """A dimension of the whole bait from `points[0]` to `points[1]`, pixels: below it, or to its right."""
    level = abs(points[1, 0] - points[0, 0]) > abs(points[1, 1] - points[0, 1])
    shift = np.array([0.0, BESIDE]) if level else np.array([BESIDE, 0.0])
    for end in points:
        yield line(np.stack([end + 0.25 * shift, end + 1.3 * shift]))
    yield from _arrows(points + shift)
    middle = (points[0] + points[1]) / 2 + shift
    yield (
        words(middle[0], middle[1] + 15, text, "size", "middle")
        if level
        else words(middle[0] + 7, middle[1] + 4, text, "size")
    )


def within(points: Array, text: str, centre: tuple[float, float], room: tuple[float, float]) -> Iterator[str]:
    """A dimension on the bait itself, its size at the end that lies further from `centre`, within `room` across."""
    if len(points) > 2:
        yield from _curved(points, text)
        return
    last = int(_apart(points[1], centre) >= _apart(points[0], centre))
    near, far = points[1 - last], points[last]
    way = (far - near) / max(_apart(far, near), 1e-6)
    yield from _arrows(np.stack([near, far]))
    label = far + way * (_OUT + 6)
    if _apart(far, near) >= _TIGHT:
        yield line(np.stack([far, far + way * _OUT]))
    sideways = abs(way[0]) > 0.7
    anchor = ("start" if way[0] > 0 else "end") if sideways else "middle"
    half = _LETTER * len(text) / 2
    before, after = {"start": (0.0, 2 * half), "middle": (half, half), "end": (2 * half, 0.0)}[anchor]
    label[0] = min(max(float(label[0]), room[0] + before), room[1] - after)
    yield words(label[0], label[1] + (4 if sideways else 10 if way[1] > 0 else 0), text, "size", anchor)


def _curved(points: Array, text: str) -> Iterator[str]:
    yield line(points)
    yield _tip(points[0], points[0] - points[1])
    yield _tip(points[-1], points[-1] - points[-2])
    middle = points[len(points) // 2]
    yield words(middle[0], middle[1] - 6, text, "size", "middle")


def _arrows(points: Array) -> Iterator[str]:
    begin, end = points
    way = (end - begin) / max(_apart(begin, end), 1e-6)
    if _apart(begin, end) >= _TIGHT:
        yield line(points)
        yield _tip(begin, -way)
        yield _tip(end, way)
        return
    yield line(np.stack([begin - way * _OUT, begin]))
    yield line(np.stack([end, end + way * _OUT]))
    yield _tip(begin, way)
    yield _tip(end, -way)


def _tip(at: Array, toward: Array) -> str:
    length = max(math.hypot(float(toward[0]), float(toward[1])), 1e-6)
    x, y = float(toward[0]) / length, float(toward[1]) / length
    left, top = float(at[0]) - _TIP * x, float(at[1]) - _TIP * y
    corners = (
        (float(at[0]), float(at[1])),
        (left - _HALF_TIP * y, top + _HALF_TIP * x),
        (left + _HALF_TIP * y, top - _HALF_TIP * x),
    )
    return f'<path class="tip" d="M{"L".join(f"{number(a)} {number(b)}" for a, b in corners)}Z"/>'


def _apart(one: Array, other: Array | tuple[float, float]) -> float:
    return math.hypot(float(one[0]) - float(other[0]), float(one[1]) - float(other[1]))
