"""Closed meshes of plain shapes, to cut solids with or join to them: vertices (n, 3), mm, and outward triangles."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from worker.solid.rings import Triangles
from worker.strands.roots import Array
from worker.strands.section import equal_area

Mesh = tuple[Array, Triangles]
Place = tuple[float, float]

AROUND = 48
"""Corners of a round thing."""


def stacked(rings: Sequence[Array]) -> Mesh:
    """The body between convex rings, each (n, 3), counter-clockwise seen from beyond the last, its ends closed flat."""
    count, size = len(rings), len(rings[0])
    here, ahead = np.arange(size), (np.arange(size) + 1) % size
    sides = [
        np.concatenate(
            [
                np.stack([ring * size + here, ring * size + ahead, (ring + 1) * size + ahead], axis=1),
                np.stack([ring * size + here, (ring + 1) * size + ahead, (ring + 1) * size + here], axis=1),
            ]
        )
        for ring in range(count - 1)
    ]
    fan = np.stack([np.zeros(size - 2, dtype=np.int64), here[1:-1], here[2:]], axis=1)
    return np.concatenate(rings), np.concatenate([*sides, fan[:, ::-1], fan + (count - 1) * size])


def prism(corners: Sequence[Place], low: float, high: float) -> Mesh:
    """Upright, over a convex polygon that runs counter-clockwise."""
    plan = np.array(corners)
    return stacked([np.column_stack([plan, np.full(len(plan), level)]) for level in (low, high)])


def box(low: Sequence[float], high: Sequence[float]) -> Mesh:
    """Square to the axes."""
    return prism(
        [(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])], float(low[2]), float(high[2])
    )


def circle(around: int = AROUND) -> Array:
    """The corners of a circle of radius 1, counter-clockwise, (n, 2): a little outside, so that they keep its area."""
    angle = 2 * np.pi * np.arange(around) / around
    return np.column_stack([np.cos(angle), np.sin(angle)]) * equal_area(around)


def turned(centre: Place, levels: Sequence[tuple[float, float]]) -> Mesh:
    """Round about an upright line; `levels`: height and radius from below upward."""
    ring = circle()
    return stacked(
        [
            np.column_stack([radius * ring[:, 0] + centre[0], radius * ring[:, 1] + centre[1], np.full(AROUND, level)])
            for level, radius in levels
        ]
    )


def along(begin: Place, end: Place, section: Sequence[Place]) -> Mesh:
    """A channel in the plane from `begin` to `end`; `section`: across (to the left) and up, counter-clockwise seen from
    `end` back to `begin`.
    """
    run = np.array(end) - np.array(begin)
    run = run / np.sqrt(run[0] * run[0] + run[1] * run[1])
    across, up = np.array(section).T
    rings = []
    for place in (begin, end):
        rings.append(np.column_stack([place[0] - across * run[1], place[1] + across * run[0], up]))
    return stacked(rings)


def round_section(radius: float) -> list[Place]:
    """Of a runner: a circle of half the corners, about the parting plane."""
    across, up = (radius * circle(AROUND // 2)).T
    return list(zip(across.tolist(), up.tolist(), strict=True))


def slot_section(width: float, depth: float, lean: float) -> list[Place]:
    """Of a gate: `width` at the parting plane, `depth` across it, each side leaning in by `lean` mm."""
    half, deep = width / 2, depth / 2
    return [
        (half, 0.0),
        (half - lean, deep),
        (lean - half, deep),
        (-half, 0.0),
        (lean - half, -deep),
        (half - lean, -deep),
    ]


def flat_section(width: float, depth: float) -> list[Place]:
    """Of a vent: `width` across and `depth` down from the parting plane."""
    return upright_section(width, -depth, 0.0)


def upright_section(width: float, low: float, high: float) -> list[Place]:
    """`width` across, from height `low` to `high`."""
    half = width / 2
    return [(half, low), (half, high), (-half, high), (-half, low)]
