"""Sums over many points, spelled out: no BLAS and no LAPACK, whose last bit differs by machine."""

from __future__ import annotations

import math

import numpy as np

from worker.strands.roots import Array

SWEEPS = 12
"""Rounds of Jacobi's rotations: three by three settles in four or five."""


def along(points: Array, direction: Array) -> Array:
    """Scalar products (n,) of points (n, 3) with one direction (3,)."""
    return np.asarray(points[:, 0] * direction[0] + points[:, 1] * direction[1] + points[:, 2] * direction[2])


def middle_of(points: Array, weight: Array) -> Array:
    """The weighted middle (3,) of points (n, 3)."""
    total = float(weight.sum())
    return np.array([float((points[:, axis] * weight).sum()) / total for axis in range(3)])


def main_axes(points: Array, weight: Array, middle: Array) -> tuple[Array, Array]:
    """Mean squares (3,) of the distances from `middle` along three unit axes, greatest first, and the axes (3, 3).

    Jacobi's method on the moments. Each axis points to where its greatest component is positive.
    """
    away, total = points - middle, float(weight.sum())
    a = [[float((away[:, i] * away[:, j] * weight).sum()) / total for j in range(3)] for i in range(3)]
    v = [[float(i == j) for j in range(3)] for i in range(3)]
    for _ in range(SWEEPS):
        for p, q in ((0, 1), (0, 2), (1, 2)):
            if abs(a[p][q]) > 1e-15 * (abs(a[p][p]) + abs(a[q][q])):
                _rotate(a, v, p, q)
    order = sorted(range(3), key=lambda i: -a[i][i])
    axes = np.array([[v[row][column] for row in range(3)] for column in order])
    for axis in axes:
        axis *= 1.0 if axis[np.abs(axis).argmax()] > 0 else -1.0
    return np.array([max(a[i][i], 0.0) for i in order]), axes


def _rotate(a: list[list[float]], v: list[list[float]], p: int, q: int) -> None:
    theta = (a[q][q] - a[p][p]) / (2 * a[p][q])
    t = math.copysign(1.0, theta) / (abs(theta) + math.sqrt(theta * theta + 1))
    c = 1 / math.sqrt(t * t + 1)
    s = t * c
    for k in range(3):
        a[k][p], a[k][q] = c * a[k][p] - s * a[k][q], s * a[k][p] + c * a[k][q]
    for k in range(3):
        a[p][k], a[q][k] = c * a[p][k] - s * a[q][k], s * a[p][k] + c * a[q][k]
    for k in range(3):
        v[k][p], v[k][q] = c * v[k][p] - s * v[k][q], s * v[k][p] + c * v[k][q]
