"""Paths told in the words of the open form: where they begin, which way they go, how they turn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from worker.open_form.frames import Frame, frame_at
from worker.open_form.paths import level_left
from worker.open_form.telling_shapes import rounded
from worker.strands.bent_path import BentPath
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import HandedPath, Path, Point, StraightPath

LONG_ENOUGH = 10.0
"""Tangents shorter than this, mm, are told longer and their length apart: four decimals then say their direction."""


def told_path(path: Path, frame: Frame) -> dict[str, Any]:
    """`start`, `yaw`, `rise`, `roll` and `path`, as seen from `frame`; what is at its default is left out."""
    if isinstance(path, HandedPath):
        path = _unhanded(path)
    if isinstance(path, BentPath):
        path = path.as_curve()
    root = frame_at(path, 0.0)
    if isinstance(path, HermitePath):
        knots = [_inside(knot, frame) for knot in path.knots]
        roll = _roll(_seen(root.left, frame), knots[0].direction)
        return {**_turned(roll=roll), "path": {"curve": list(_curve(knots))}}
    if not isinstance(path, StraightPath):
        raise TypeError(f"a {type(path).__name__} cannot be told")
    way = _seen(path.direction, frame)
    start = [rounded(part) for part in _from(path.start, frame)]
    level = math.hypot(way[0], way[1])
    yaw = math.atan2(way[1], way[0]) if level > 1e-9 else 0.0
    rise = math.atan2(way[2], level)
    roll = _roll(_seen(root.left, frame), way, yaw)
    turned = _turned(yaw=math.degrees(yaw), rise=math.degrees(rise), roll=roll)
    there = {"start": start} if any(start) else {}
    return {**there, **turned, "path": {"length": rounded(path.length)}}


def _turned(**degrees: float) -> dict[str, float]:
    told = {name: round(value, 5) + 0.0 for name, value in degrees.items()}
    return {name: value for name, value in told.items() if value}


def _unhanded(path: HandedPath) -> StraightPath | HermitePath:
    """The same path told for itself: its left is the other side's right, turned round."""
    of = path.of
    left = _turned_round(tuple(-part for part in frame_at(of, 0.0).left))
    if isinstance(of, HermitePath):
        knots = [replace(k, point=_turned_round(k.point), direction=_turned_round(k.direction)) for k in of.knots]
        return HermitePath(tuple(knots), left)
    if not isinstance(of, StraightPath):
        raise TypeError(f"{type(of).__name__} is handed twice")
    return StraightPath(of.length, _turned_round(of.start), _turned_round(of.direction), left)


def _turned_round(values: Sequence[float]) -> Point:
    return values[0], -values[1] + 0.0, values[2]


def _from(point: Point, frame: Frame) -> Point:
    x, y, z = (p - o for p, o in zip(point, frame.origin, strict=True))
    return _seen((x, y, z), frame)


def _seen(way: Sequence[float], frame: Frame) -> Point:
    """A direction ahead, to the left and to the back of a frame."""
    x, y, z = (
        sum(w * part for w, part in zip(way, axis, strict=True)) for axis in (frame.ahead, frame.left, frame.back)
    )
    return x, y, z


def _inside(knot: Knot, frame: Frame) -> Knot:
    return Knot(_from(knot.point, frame), _seen(knot.direction, frame), knot.before, knot.after)


def _roll(left: Point, way: Sequence[float], yaw: float | None = None) -> float:
    """Degrees by which `left` is turned about a way from what the open form takes to be its left."""
    length = math.hypot(*way)
    unit = [part / length for part in way]
    level = (-math.sin(yaw), math.cos(yaw), 0.0) if yaw is not None else level_left(unit)
    upward = (
        unit[1] * level[2] - unit[2] * level[1],
        unit[2] * level[0] - unit[0] * level[2],
        unit[0] * level[1] - unit[1] * level[0],
    )
    across, up = (sum(a * b for a, b in zip(left, axis, strict=True)) for axis in (level, upward))
    return math.degrees(math.atan2(up, across))


def _curve(knots: Sequence[Knot]) -> list[dict[str, Any]]:
    told = []
    for place, knot in enumerate(knots):
        arrive = _length(knot.before, knots[place - 1], knot) if place else None
        leave = _length(knot.after, knot, knots[place + 1]) if place + 1 < len(knots) else None
        own = leave if arrive is None else arrive
        size = max(own or 0.0, LONG_ENOUGH)
        scale = size / math.hypot(*knot.direction)
        row: dict[str, Any] = {
            "point": [rounded(part) for part in knot.point],
            "tangent": [rounded(part * scale) for part in knot.direction],
        }
        for name, length in (("arrive", arrive), ("leave", leave)):
            if length is not None and abs(length - size) > 1e-6:
                row[name] = rounded(length)
        told.append(row)
    return told


def _length(told: float, here: Knot, there: Knot) -> float:
    return told or math.dist(here.point, there.point)
