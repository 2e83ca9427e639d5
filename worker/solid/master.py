"""The master's solid: the bait's made larger, with a stub for the sprue or a level belly where they are asked for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from worker.solid.join import united
from worker.solid.rings import Triangles
from worker.solid.solid import Solid, checked_solid
from worker.strands.roots import Array

AROUND = 96
"""Corners of a stub's circle."""
BEYOND_MM = 1.0
"""How far what cuts a flat reaches out on all sides."""
NEAR_END_MM = 0.5
"""The stub is centred on what lies so near the bait's end."""


def master_of(solid: Solid, scale: float, asked: Mapping[str, Any]) -> Solid:
    """The bait's solid `scale` times as long, with the base that `print` asks for. Raises GeometryFailed."""
    larger = checked_solid(solid.vertices * scale, solid.triangles)
    if asked["base"] == "stub":
        return united([(larger.vertices, larger.triangles), _stub(larger.vertices, asked)])
    if asked["base"] == "flat":
        return united([(larger.vertices, larger.triangles)], [_below(larger.vertices, float(asked["flat_depth"]))])
    return larger


def _stub(vertices: Array, asked: Mapping[str, Any]) -> tuple[Array, Triangles]:
    """A round rod along x, from inside the bait's end outwards; vertices (2 n + 2, 3) and outward triangles."""
    sign = -1.0 if asked["stub_at"] == "nose" else 1.0
    x = sign * vertices[:, 0]
    end, radius = float(x.max()), float(asked["stub_diameter"]) / 2
    near = vertices[x >= end - NEAR_END_MM]
    low, high = near.min(axis=0), near.max(axis=0)
    y, z = (float(low[axis] + high[axis]) / 2 for axis in (1, 2))
    # As deep into the bait as the stub is wide, so that it does not hang by a round nose's tip.
    inner, outer = end - 2 * radius, end + float(asked["stub_length"])
    turn = 2 * math.pi * np.arange(AROUND) / AROUND
    # Moved outward a hair, so that the polygon has the circle's area.
    reach = radius * math.sqrt(2 * math.pi / AROUND / math.sin(2 * math.pi / AROUND))
    rings = [
        np.stack([np.full(AROUND, at), reach * np.cos(turn), reach * np.sin(turn)], axis=1) for at in (inner, outer)
    ]
    points = np.concatenate([*rings, [[inner, 0.0, 0.0], [outer, 0.0, 0.0]]])
    here = np.arange(AROUND)
    after = (here + 1) % AROUND
    walls = [np.stack(each, axis=1) for each in ((here, after, after + AROUND), (here, after + AROUND, here + AROUND))]
    first, last = np.full(AROUND, 2 * AROUND), np.full(AROUND, 2 * AROUND + 1)
    caps = [np.stack([first, after, here], axis=1), np.stack([last, here + AROUND, after + AROUND], axis=1)]
    faces = np.concatenate([*walls, *caps])
    if sign < 0:
        points, faces = points * np.array([-1.0, 1.0, 1.0]), faces[:, ::-1]
    return points + np.array([0.0, y, z]), _outward(points, faces)


def _outward(points: Array, faces: Triangles) -> Triangles:
    a, b, c = (points[faces[:, corner]] for corner in range(3))
    six = a[:, 0] * (b[:, 1] * c[:, 2] - b[:, 2] * c[:, 1])
    six += a[:, 1] * (b[:, 2] * c[:, 0] - b[:, 0] * c[:, 2]) + a[:, 2] * (b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0])
    return faces if float(six.sum()) > 0 else faces[:, ::-1]


def _below(vertices: Array, depth: float) -> tuple[Array, Triangles]:
    """A box around all that lies less than `depth` above the lowest point."""
    low, high = vertices.min(axis=0) - BEYOND_MM, vertices.max(axis=0) + BEYOND_MM
    high[2] = low[2] + BEYOND_MM + depth
    corners = np.array([[x, y, z] for z in (low[2], high[2]) for y in (low[1], high[1]) for x in (low[0], high[0])])
    faces = np.array(
        [
            [0, 2, 1], [1, 2, 3], [4, 5, 6], [5, 7, 6],
            [0, 1, 4], [1, 5, 4], [2, 6, 3], [3, 6, 7],
            [0, 4, 2], [2, 4, 6], [1, 3, 5], [3, 7, 5],
        ]
    )  # fmt: skip
    return corners, _outward(corners, faces)
