"""Paths of the open form: a straight length, points joined smoothly, or cubic Hermite curves."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from typing import Any

from worker.open_form.frames import Frame, mirrored, turn_of
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Path, Point, StraightPath

NEAREST = 0.01
"""Least distance from one point of a path to the next, and least length of a tangent, mm."""


def path_of(told: Mapping[str, Any], frame: Frame, roll: float, *, handed: bool = False) -> Path:
    """The path told in the directions of `frame`; its section is turned by `roll` degrees, left side up.

    `handed` takes what is told on the other side. Points must lie apart and tangents have a length (see `apart`).
    """
    side = mirrored if handed else tuple
    if "length" in told:
        left = _rolled((1.0, 0.0, 0.0), roll, handed)
        return StraightPath(told["length"], frame.origin, frame.ahead, frame.direction(left))
    knots = _through(told["points"]) if "points" in told else _curves(told["curve"])
    left = _rolled(side(_unit(knots[0].direction)), roll, handed)
    placed = [
        Knot(frame.point(side(knot.point)), frame.direction(side(knot.direction)), knot.before, knot.after)
        for knot in knots
    ]
    return HermitePath(tuple(placed), frame.direction(left))


def apart(told: Mapping[str, Any]) -> list[tuple[int, str]]:
    """What a path cannot be drawn through: the index of each point too near to the one before, or without a way on."""
    if "length" in told:
        return []
    if "points" in told:
        points = told["points"]
        near = [(place, "") for place in range(1, len(points)) if math.dist(points[place - 1], points[place]) < NEAREST]
        back = [(place, "") for place in range(1, len(points) - 1) if _turns_back(points[place - 1 : place + 2])]
        return sorted(set(near) | set(back))
    knots = told["curve"]
    still = [(place, "/tangent") for place, knot in enumerate(knots) if math.hypot(*knot["tangent"]) < NEAREST]
    near = [
        (place, "/point")
        for place in range(1, len(knots))
        if math.dist(knots[place - 1]["point"], knots[place]["point"]) < NEAREST
    ]
    return sorted([*still, *near])


def _turns_back(points: Sequence[Sequence[float]]) -> bool:
    """Whether the way on is the way back: there is no direction between the two."""
    first, then = (_between(*pair) for pair in itertools.pairwise(points))
    lengths = math.hypot(*first) * math.hypot(*then)
    return sum(a * b for a, b in zip(first, then, strict=True)) < -0.999 * lengths


def level_left(tangent: Sequence[float], *, handed: bool = False) -> Point:
    """Unit vector to the left of a tangent and level; ahead of one that points straight up."""
    x, y, _ = tangent
    level = math.hypot(x, y)
    if level > 1e-9:
        return -y / level, x / level, 0.0
    return (-1.0 if handed else 1.0, 0.0, 0.0)


def _rolled(tangent: Sequence[float], roll: float, handed: bool) -> Point:
    """The same turned about the tangent."""
    x, y, z = tangent
    left = level_left(tangent, handed=handed)
    back = (-z * left[1], z * left[0], x * left[1] - y * left[0])
    cosine, sine = turn_of(-roll if handed else roll)
    a, b, c = (cosine * to_left + sine * to_back for to_left, to_back in zip(left, back, strict=True))
    return a, b, c


def _curves(told: Sequence[Mapping[str, Any]]) -> list[Knot]:
    knots = []
    for knot in told:
        length = math.hypot(*knot["tangent"])
        before, after = knot.get("arrive", length), knot.get("leave", length)
        knots.append(Knot(_point(knot["point"]), _point(knot["tangent"]), before, after))
    return knots


def _through(points: Sequence[Sequence[float]]) -> list[Knot]:
    """Knots whose directions are those of the parabolas through every three neighbours (Bessel's tangents).

    On a circle they are the circle's own. The first and the last parabola say the directions of the two ends.
    """
    ways = [_between(one, two) for one, two in itertools.pairwise(points)]
    if len(ways) == 1:
        return [Knot(_point(each), ways[0]) for each in points]
    lengths = [math.hypot(*way) for way in ways]
    slopes = [tuple(part / length for part in way) for way, length in zip(ways, lengths, strict=True)]
    inner = [
        tuple((f * b + t * a) / (a + b) for f, t in zip(first, then, strict=True))
        for first, then, a, b in zip(slopes[:-1], slopes[1:], lengths[:-1], lengths[1:], strict=True)
    ]
    first = tuple(2 * s - d for s, d in zip(slopes[0], inner[0], strict=True))
    last = tuple(2 * s - d for s, d in zip(slopes[-1], inner[-1], strict=True))
    return [Knot(_point(at), _point(way)) for at, way in zip(points, [first, *inner, last], strict=True)]


def _between(one: Sequence[float], two: Sequence[float]) -> Point:
    x, y, z = (b - a for a, b in zip(one, two, strict=True))
    return x, y, z


def _unit(way: Sequence[float]) -> Point:
    length = math.hypot(*way)
    return way[0] / length, way[1] / length, way[2] / length


def _point(values: Sequence[float]) -> Point:
    return values[0], values[1], values[2]
