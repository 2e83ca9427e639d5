"""The master's solid: the bait's made larger, with a stub for the sprue or a level belly where they are asked for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from worker.solid.join import united
from worker.solid.shapes import Mesh, box, circle, stacked
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


def _stub(vertices: Array, asked: Mapping[str, Any]) -> Mesh:
    """A round rod along x, from inside the bait's end outwards."""
    sign = -1.0 if asked["stub_at"] == "nose" else 1.0
    x = sign * vertices[:, 0]
    end, radius = float(x.max()), float(asked["stub_diameter"]) / 2
    near = vertices[x >= end - NEAR_END_MM]
    low, high = near.min(axis=0), near.max(axis=0)
    y, z = (float(low[axis] + high[axis]) / 2 for axis in (1, 2))
    # As deep into the bait as the stub is wide, so that it does not hang by a round nose's tip.
    inner, outer = end - 2 * radius, end + float(asked["stub_length"])
    across, up = (radius * circle(AROUND)).T
    rings = [np.column_stack([np.full(AROUND, at), across + y, up + z]) for at in sorted((sign * inner, sign * outer))]
    return stacked(rings)


def _below(vertices: Array, depth: float) -> Mesh:
    """A box around all that lies less than `depth` above the lowest point."""
    low, high = vertices.min(axis=0) - BEYOND_MM, vertices.max(axis=0) + BEYOND_MM
    high[2] = low[2] + BEYOND_MM + depth
    return box(low.tolist(), high.tolist())
