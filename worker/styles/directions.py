"""Directions of appendages by angles, and curves of a given length."""

from __future__ import annotations

import math

from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Point


def towards(yaw: float, rise: float = 0.0) -> Point:
    """Unit vector `yaw` degrees from straight back towards the left, and `rise` degrees above level."""
    turn, up = math.radians(yaw), math.radians(rise)
    return math.cos(turn) * math.cos(up), math.sin(turn) * math.cos(up), math.sin(up)


def beyond(point: Point, direction: Point, distance: float) -> Point:
    """The point `distance` from `point` that way."""
    x, y, z = (p + distance * d for p, d in zip(point, direction, strict=True))
    return x, y, z


def curve_of(length: float, begin: Point, leave: Point, way: Point, arrive: Point) -> tuple[Knot, Knot]:
    """The two knots of a curve `length` mm long from `begin`: directions at both ends and from end to end.

    A curve's shape is free of its size, so one measured curve gives the size of the wanted one.
    """
    unit = HermitePath((Knot((0.0, 0.0, 0.0), leave), Knot(way, arrive)), level_left(leave))
    apart = length / unit.length
    return Knot(begin, leave, 0.0, apart), Knot(beyond(begin, way, apart), arrive, apart, 0.0)


def level_left(direction: Point) -> Point:
    """Unit vector to the left of a direction, and level; straight back for one that points straight up or down."""
    x, y, _ = direction
    level = math.hypot(x, y)
    return (-y / level, x / level, 0.0) if level > 0 else (1.0, 0.0, 0.0)
