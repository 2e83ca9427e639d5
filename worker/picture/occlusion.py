"""How much of the surroundings each point of the surface sees past the body itself."""

from __future__ import annotations

import math

import numpy as np

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.surface import Points
from worker.picture.vector import ALL, Flags, Floats, dot

_TRIES = 4
"""Directions tried at each pixel; its pattern of sixteen pixels tries 64."""

_STEPS = (0.22, 0.55, 1.0)
"""Places along each direction, as shares of the reach, where the depth buffer is asked."""

_REACH = 0.072
_THICKNESS = 0.16
_GAP = 0.002
"""Reach, thickness taken for granted behind a visible surface and gap against itself, as shares of the radius."""


def _directions() -> Floats:
    """64 directions spread over a hemisphere by the cosine of their slope (a golden-angle spiral), shuffled."""
    count = 16 * _TRIES
    rows = np.empty((count, 3))
    for i in range(count):
        share, turn = (i + 0.5) / count, i * math.pi * (3 - math.sqrt(5))
        rows[i] = math.sqrt(share) * math.cos(turn), math.sqrt(share) * math.sin(turn), math.sqrt(1 - share)
    order = [(i * 37) % count for i in range(count)]  # 37 and 64 share no factor, so each is taken once
    return rows[order].astype(np.float32).reshape(16, _TRIES, 3)


_SPREAD = _directions()


def surroundings(body: Body, camera: Camera, points: Points) -> tuple[Floats, Floats]:
    """Shares of the hemisphere that are open, plain and weighted by a sky that is brighter above. Both 0 to 1."""
    depth = points.plane(points.depth, 1e9).ravel()
    normal = [dot(points.normal, axis) for axis in (camera.right, camera.up, camera.back)]
    first, second = _tangents(normal)
    reach = _REACH * body.radius
    gap, thick = np.float32(_GAP * body.radius), np.float32(_THICKNESS * body.radius)
    column, row = points.column.astype(np.float32), points.row.astype(np.float32)
    open_share = np.zeros(len(column), np.float32)
    sky_share = np.zeros(len(column), np.float32)
    for attempt in range(_TRIES):
        spread = _SPREAD[:, attempt].take(points.cell, axis=0)
        side, front, out = (np.ascontiguousarray(spread[:, i]) for i in range(3))
        across, along, toward = (side * f + front * s + out * n for f, s, n in zip(first, second, normal, strict=True))
        free: Flags = np.ones(len(column), np.bool_)
        for step in _STEPS:
            length = np.float32(reach * step)
            pixels = np.float32(reach * step * camera.scale)
            x = (column + across * pixels + np.float32(0.5)).astype(np.int32)
            y = (row - along * pixels + np.float32(0.5)).astype(np.int32)
            inside = (x >= 0) & (x < points.columns) & (y >= 0) & (y < points.rows)
            behind = points.depth - toward * length
            behind = behind - depth.take(np.where(inside, y * points.columns + x, 0))
            free &= ~((behind > gap) & (behind < thick) & inside)
        open_share += free
        sky_share += free * (np.float32(0.60) + np.float32(0.40) * along)
    return open_share * np.float32(1 / _TRIES), sky_share * np.float32(1 / _TRIES)


def _tangents(normal: list[Floats]) -> tuple[list[Floats], list[Floats]]:
    """Two directions square to unit normals, without a branch (Duff et al., JCGT 6(1), 2017)."""
    x, y, z = normal
    sign = np.where(z >= 0, ALL, -ALL)
    a = -ALL / (sign + z)
    b = x * y * a
    return [ALL + sign * x * x * a, sign * b, -sign * x], [b, sign + y * y * a, -y]
