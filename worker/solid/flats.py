"""Triangles whose corners rounding laid on one line: they have no area, and no side that is out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from worker.solid.rings import Triangles

Steps = NDArray[np.int64]
"""Vertices (n, 3) in whole steps of their rounding, so that products are exact; baits leave room in 64 bits."""


def flat(steps: Steps, triangles: Triangles) -> NDArray[np.int64]:
    """The triangles without area."""
    first, second, third = (steps[triangles[:, corner]] for corner in range(3))
    one, two = second - first, third - first
    across = np.zeros(len(one), dtype=bool)
    for axis in range(3):
        ahead, behind = (axis + 1) % 3, (axis + 2) % 3
        across |= one[:, ahead] * two[:, behind] != one[:, behind] * two[:, ahead]
    return np.flatnonzero(~across)


def without_flats(steps: Steps, triangles: Triangles) -> Triangles:
    """The same closed surface with each flat triangle's middle corner made one of its neighbour's.

    That neighbour, across the longest side, is parted at the corner that lies on this side: not a point of the surface
    moves. A flat triangle that cannot be mended so is left.
    """
    found = flat(steps, triangles)
    if not len(found):
        return triangles
    triangles = triangles.copy()
    near = np.flatnonzero(np.isin(triangles, triangles[found]).any(axis=1)).tolist()
    owner = {(int(triangles[row, k]), int(triangles[row, (k + 1) % 3])): row for row in near for k in range(3)}
    waiting = [int(row) for row in found]
    for _ in range(len(waiting) + 1):
        left = [row for row in waiting if not _parted(steps, triangles, owner, row)]
        if len(left) in (0, len(waiting)):
            break
        waiting = left
    return triangles


def _parted(steps: Steps, triangles: Triangles, owner: dict[tuple[int, int], int], row: int) -> bool:
    """Parts the neighbour of one flat triangle; whether it could be."""
    corners = [int(corner) for corner in triangles[row]]
    sides = [int(((steps[corners[(k + 1) % 3]] - steps[corners[k]]) ** 2).sum()) for k in range(3)]
    longest = sides.index(max(sides))
    # From c to a goes the longest side; b lies on it.
    c, a, b = (corners[(longest + turn) % 3] for turn in range(3))
    other = owner.get((a, c))
    if other is None:
        return False
    d = next(int(corner) for corner in triangles[other] if corner not in (a, c))
    if d == b or (b, d) in owner or (d, b) in owner:
        return False
    made = np.array([[a, b, d], [b, c, d]])
    if len(flat(steps, made)):
        return False
    del owner[c, a], owner[a, c]
    triangles[row], triangles[other] = made
    for place, triangle in ((row, made[0]), (other, made[1])):
        for k in range(3):
            owner[int(triangle[k]), int(triangle[(k + 1) % 3])] = place
    return True
