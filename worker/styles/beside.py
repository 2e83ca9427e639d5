"""Paths beside other paths: what bores, slots and cores of a curved trunk follow."""

from __future__ import annotations

import math

import numpy as np

from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Path, Point, StraightPath
from worker.strands.roots import Array
from worker.strands.vectors import cross, dot, norm

FURTHEST = 6.0
"""Greatest distance from one knot to the next, mm: cubics of that length follow any bend of a bait to a micrometre."""


def beside(path: Path, begin: float, end: float, left: float = 0.0, back: float = 0.0) -> Path:
    """From station `begin` to station `end` of a path, `left` and `back` mm beside it; backwards where `end` is less.

    Before its root and behind its tip the path goes straight on. The frame's left is the path's own.
    """
    if path.straight:
        return _straight(path, begin, end, left, back)
    count = max(2, math.ceil(abs(end - begin) / FURTHEST))
    station = begin + (end - begin) * np.arange(count + 1) / count
    on = np.clip(station, 0.0, path.length)
    points, leftward, backward = path.frames(on)
    ahead = cross(leftward, backward)
    points = points + (station - on)[:, None] * ahead + left * leftward + back * backward
    # Beside a path that turns, the way is shorter on the inside of the turn.
    bend = np.where((station == on)[:, None], path.curvature(on), 0.0)
    speed = 1 - left * dot(bend, leftward) - back * dot(bend, backward)
    step, way = abs(end - begin) / count, math.copysign(1.0, end - begin)
    knots = [
        Knot(_point(point), _point(way * direction), float(step * each), float(step * each))
        for point, direction, each in zip(points, ahead, speed, strict=True)
    ]
    return HermitePath(tuple(knots), _point(leftward[0]))


def _straight(path: Path, begin: float, end: float, left: float, back: float) -> StraightPath:
    points, leftward, backward = (each[0] for each in path.frames(np.array([0.0])))
    ahead = cross(leftward, backward)
    start = points + begin * ahead + left * leftward + back * backward
    way = math.copysign(1.0, end - begin)
    return StraightPath(abs(end - begin), _point(start), _point(way * ahead / norm(ahead)), _point(leftward))


def _point(three: Array) -> Point:
    x, y, z = (float(each) for each in three)
    return x, y, z
