"""Vectors in space, one a row: spelled out, so that no sum goes through a library whose last bit differs by machine."""

from __future__ import annotations

import numpy as np

from worker.strands.roots import Array


def dot(a: Array, b: Array) -> Array:
    """Scalar products of rows, (n,)."""
    every = a * b
    return np.asarray(every[..., 0] + every[..., 1] + every[..., 2])


def norm(a: Array) -> Array:
    """Lengths of rows, (n,)."""
    return np.asarray(np.sqrt(dot(a, a)))


def cross(a: Array, b: Array) -> Array:
    """Vector products of rows, (n, 3)."""
    a1, a2, a3 = a[..., 0], a[..., 1], a[..., 2]
    b1, b2, b3 = b[..., 0], b[..., 1], b[..., 2]
    first = a2 * b3 - a3 * b2
    product = np.empty((*first.shape, 3))
    product[..., 0] = first
    product[..., 1] = a3 * b1 - a1 * b3
    product[..., 2] = a1 * b2 - a2 * b1
    return product


def unit(a: Array) -> Array:
    """Rows of length 1."""
    return np.asarray(a / norm(a)[..., None])


def square_to(a: Array, axis: Array) -> Array:
    """Unit rows: what is left of `a` without its part along the unit rows `axis`."""
    return unit(a - dot(a, axis)[..., None] * axis)
