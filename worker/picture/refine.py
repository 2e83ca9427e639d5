"""Long triangles of a mesh divided along its length, for it to be bent: a flat side has corners at its ends alone."""

from __future__ import annotations

import numpy as np

from worker.picture.vector import Doubles, Indices


def refined(vertices: Doubles, triangles: Indices, step_mm: float) -> tuple[Doubles, Indices]:
    """The same surface, (n, 3) mm and (m, 3), with no edge that reaches farther than `step_mm` along x.

    Edges are halved, each once for both its triangles, so that what was closed stays closed. New vertices come last.
    """
    while True:
        start, end = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
        long = np.abs(vertices[end, 0] - vertices[start, 0]) > step_mm
        if not long.any():
            return vertices, triangles
        low, high = np.minimum(start[long], end[long]), np.maximum(start[long], end[long])
        edges, number = np.unique(low * len(vertices) + high, return_inverse=True)
        ends = np.stack(np.divmod(edges, len(vertices)), axis=1)
        middle = np.full(triangles.size, -1)
        middle[long] = len(vertices) + number.reshape(-1)
        vertices = np.concatenate([vertices, 0.5 * (vertices[ends[:, 0]] + vertices[ends[:, 1]])])
        triangles = _divided(triangles, middle.reshape(-1, 3))


def _divided(triangles: Indices, middle: Indices) -> Indices:
    """Each triangle in as many as the `middle` vertices, -1 where there is none, of its edges ask for."""
    count = (middle >= 0).sum(axis=1)
    parts = [triangles[count == 0]]
    # Turned so that of one middle the edge that has it comes first, of two the edge that has none comes last.
    for many in (1, 2, 3):
        chosen = np.flatnonzero(count == many)
        there = middle[chosen] >= 0
        first = there.argmax(axis=1) if many != 2 else (there.argmin(axis=1) + 1)
        places = (first[:, None] + np.arange(3)) % 3
        row = np.arange(len(chosen))[:, None]
        a, b, c = triangles[chosen][row, places].T
        p, q, r = middle[chosen][row, places].T
        if many == 1:
            pieces = [(a, p, c), (p, b, c)]
        elif many == 2:
            pieces = [(p, b, q), (a, p, q), (a, q, c)]
        else:
            pieces = [(a, p, r), (p, b, q), (r, q, c), (p, q, r)]
        parts += [np.stack(piece, axis=1) for piece in pieces]
    return np.concatenate(parts)
