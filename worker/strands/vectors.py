"""Vectors in space, one a row: spelled out, so that no sum goes through a library whose last bit differs by machine."""

from __future__ import annotations

import numpy as np

from worker.strands.roots import Array


def dot(a: Array, b: Array) -> Array:
    """Scalar products of rows, (n,)."""
    return np.asarray(a[..., 0] * b[..., 0] + a[..., 1] * b[..., 1] + a[..., 2] * b[..., 2])


def norm(a: Array) -> Array:
    """Lengths of rows, (n,)."""
    return np.asarray(np.sqrt(dot(a, a)))


def cross(a: Array, b: Array) -> Array:
    """Vector products of rows, (n, 3)."""
    return np.stack(
        [
            a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1],
            a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2],
            a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0],
        ],
        axis=-1,
    )


def unit(a: Array) -> Array:
    """Rows of length 1."""
    return np.asarray(a / norm(a)[..., None])


def square_to(a: Array, axis: Array) -> Array:
    """Unit rows: what is left of `a` without its part along the unit rows `axis`."""
    return unit(a - dot(a, axis)[..., None] * axis)
