"""Folds of a surface over rings of corners: where two neighbouring pieces lie almost face to face."""

from __future__ import annotations

import numpy as np

from worker.strands.roots import Array
from worker.strands.vectors import cross, dot, norm

FOLD = -0.9
"""Cosine between the normals of two neighbours that make a fold: 154 degrees apart, a crease of 26."""


def folded(surface: Array) -> bool:
    """Whether the closed bands between rings of corners, (k, n, 3), fold anywhere. Pieces without area do not count."""
    below, beside = surface[:-1], np.roll(surface[1:], -1, axis=1)
    first = _facing(cross(np.roll(below, -1, axis=1) - below, surface[1:] - below))
    second = _facing(cross(beside - np.roll(below, -1, axis=1), surface[1:] - np.roll(below, -1, axis=1)))
    # Across the diagonal of each piece, to the piece beside it, and to the one above.
    pairs = ((first, second), (first, np.roll(second, 1, axis=1)), (second[:-1], first[1:]))
    return any(bool((dot(one, other) < FOLD).any()) for one, other in pairs)


def _facing(normal: Array) -> Array:
    """Unit vectors; of pieces without area 0, which faces nobody."""
    size = norm(normal)
    return np.asarray(normal / np.where(size < 1e-9, np.inf, size)[..., None])
