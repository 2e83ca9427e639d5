"""Frames along a curve that do not twist: the double reflection method.

Wang, Juttler, Zheng and Liu, Computation of Rotation Minimizing Frames, ACM Transactions on Graphics 27 (2008) 2:
two reflections carry a frame from one point of a curve to the next with an error of the fourth order. Two reflections
are a rotation, so a step is the same turn for every frame: all steps are taken at once from a reference frame, and
their turns are added up.
"""

from __future__ import annotations

import numpy as np

from worker.strands.roots import Array
from worker.strands.vectors import cross, dot, square_to


def carried(left: Array, points: Array, tangents: Array, next_points: Array, next_tangents: Array) -> Array:
    """Each row of `left` at `points`, carried by two reflections to `next_points`; all (n, 3)."""
    mirrored_left, mirrored_tangent = (_mirrored(each, next_points - points) for each in (left, tangents))
    return _mirrored(mirrored_left, next_tangents - mirrored_tangent)


def untwisted(points: Array, tangents: Array, left: Array) -> Array:
    """Unit vectors to the left at each of `points` (n, 3), from `left` (3,) at the first, without twist."""
    reference = square_to(_least_along(tangents)[None, :], tangents)
    moved = carried(reference[:-1], points[:-1], tangents[:-1], points[1:], tangents[1:])
    upward = cross(tangents, reference)
    turns = np.arctan2(dot(moved, upward[1:]), dot(moved, reference[1:]))
    first = square_to(left[None, :], tangents[:1])
    begin = np.arctan2(dot(first, upward[:1]), dot(first, reference[:1]))
    angle = (begin + np.concatenate([[0.0], np.cumsum(turns)]))[:, None]
    return np.asarray(np.cos(angle) * reference + np.sin(angle) * upward)


def _mirrored(vectors: Array, normals: Array) -> Array:
    squares = dot(normals, normals)
    # Two points in one place, or two frames already in line, need no mirror.
    share = np.where(squares > 1e-24, 2 * dot(normals, vectors) / np.maximum(squares, 1e-24), 0.0)
    return np.asarray(vectors - share[:, None] * normals)


_AXES = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0], [0.36, 0.48, 0.8], [0.8, 0.36, -0.48]])


def _least_along(tangents: Array) -> Array:
    """The axis that the curve never runs along: what the reference frames are squared from."""
    along = [float(np.abs(dot(tangents, axis[None, :])).max()) for axis in _AXES]
    return np.asarray(_AXES[int(np.argmin(along))])
