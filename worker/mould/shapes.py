"""Closed meshes of the plain shapes that a mould is cut with: vertices (n, 3) in mm and outward triangles (m, 3)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from worker.mould.columns import Whole
from worker.strands.roots import Array

Mesh = tuple[Array, Whole]
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


def turned(centre: Place, levels: Sequence[tuple[float, float]]) -> Mesh:
    """Round about an upright line; `levels`: height and radius from below upward.

    The corners stand a little outside, so that every section has the circle's own area.
    """
    angle = 2 * np.pi * np.arange(AROUND) / AROUND
    full = float(np.sqrt(2 * np.pi / (AROUND * np.sin(2 * np.pi / AROUND))))
    ring = np.column_stack([np.cos(angle), np.sin(angle)]) * full
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
    count = AROUND // 2
    angle = 2 * np.pi * np.arange(count) / count
    full = radius * float(np.sqrt(2 * np.pi / (count * np.sin(2 * np.pi / count))))
    return list(zip((full * np.cos(angle)).tolist(), (full * np.sin(angle)).tolist(), strict=True))


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
    half = width / 2
    return [(half, -depth), (half, 0.0), (-half, 0.0), (-half, -depth)]
