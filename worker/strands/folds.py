"""Folds of a surface over rings of corners: where two neighbouring pieces lie almost face to face."""

from __future__ import annotations

import numpy as np

from worker.strands.roots import Array
from worker.strands.vectors import cross, dot, norm

FOLD = -0.9
"""Cosine between the normals of two neighbours that make a fold: 154 degrees apart, a crease of 26."""


def folded(surface: Array) -> bool:
    """Whether the closed bands between rings of corners, (k, n, 3), fold anywhere. Pieces without area do not count."""
    return len(folds(surface)) > 0


def folds(surface: Array) -> Array:
    """All corners of the pieces at which the bands fold, (m, 3)."""
    below, above = surface[:-1], surface[1:]
    below_there, above_there = np.roll(below, -1, axis=1), np.roll(above, -1, axis=1)
    first = _facing(cross(below_there - below, above - below))
    second = _facing(cross(above_there - below_there, above - below_there))
    # Across the diagonal of each piece, to the piece beside it, and to the one above.
    turned = dot(first, second) < FOLD
    turned |= dot(np.roll(first, -1, axis=1), second) < FOLD
    upward = dot(second[:-1], first[1:]) < FOLD
    turned[:-1] |= upward
    turned[1:] |= upward
    return np.concatenate([each[turned] for each in (below, below_there, above, above_there)])


def _facing(normal: Array) -> Array:
    """Unit vectors; of pieces without area 0, which faces nobody."""
    size = norm(normal)
    return np.asarray(normal / np.where(size < 1e-9, np.inf, size)[..., None])
