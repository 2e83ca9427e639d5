"""Triangles without height, turned into their neighbours: corners of a flat belly stand in line at an upright face."""

from __future__ import annotations

import numpy as np

from worker.solid.rings import Triangles
from worker.strands.roots import Array
from worker.strands.vectors import cross, norm

ROUNDS = 4
"""How often they are looked for: two may lie side by side."""
FLAT = 1e-9
"""Height, mm, below which a triangle has none: far below the mesh's rounding."""


def without_needles(vertices: Array, triangles: Triangles) -> Triangles:
    """The same closed surface, (m, 3), where each such triangle's longest edge is given up for the one across it."""
    for _ in range(ROUNDS):
        corners = vertices[triangles]
        edges = np.roll(corners, -1, axis=1) - corners
        lengths = norm(edges)
        flat = np.flatnonzero(
            (norm(cross(edges[:, 0], edges[:, 1])) < FLAT * lengths.max(axis=1)) & (lengths.min(axis=1) > 0)
        )
        if len(flat) == 0:
            break
        triangles = _turned(triangles, flat.tolist(), lengths)
    return triangles


def _turned(triangles: Triangles, flat: list[int], lengths: Array) -> Triangles:
    turned = triangles.copy()
    starts, ends = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    done: set[int] = set()
    for needle in flat:
        side = int(lengths[needle].argmax())
        a, b, tip = (int(triangles[needle, (side + turn) % 3]) for turn in range(3))
        beside = np.flatnonzero((starts == b) & (ends == a)) // 3
        if len(beside) != 1 or done & {needle, int(beside[0])}:
            continue
        other = int(beside[0])
        far = int(next(corner for corner in triangles[other] if corner not in (a, b)))
        # From (a, b, tip) and (b, a, far) to (a, far, tip) and (far, b, tip): the same way round.
        turned[needle], turned[other] = (a, far, tip), (far, b, tip)
        done |= {needle, other}
    return turned
