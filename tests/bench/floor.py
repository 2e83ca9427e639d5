"""The floor: the least that any program does for this worm. Its outline, plain rings, one ingest by manifold3d.

Nothing general, nothing checked, nothing kept exact: equal round beads on a straight line, chords on the outline and
chords around. The outline is written down in closed form; a library of plane geometry takes milliseconds for it.
"""

from __future__ import annotations

import math

import manifold3d
import numpy as np
from numpy.typing import NDArray

from tests.bench.worms import BEADS, BLEND, DIAMETER, LENGTH

Array = NDArray[np.float64]


def outline(sag: float) -> tuple[Array, Array]:
    """Stations and heights, no chord further than `sag` mm from its arc."""
    radius, pitch = DIAMETER / 2, (LENGTH - DIAMETER) / (BEADS - 1)
    lean = math.asin(pitch / 2 / (radius + BLEND))
    height = (radius + BLEND) * math.cos(lean)
    centres = radius + pitch * np.arange(BEADS)

    def arc(size: float, first: float, last: float) -> tuple[Array, Array]:
        steps = math.ceil((last - first) / (2 * math.acos(1 - sag / size)))
        angle = first + (last - first) * np.arange(steps) / steps
        return size * np.sin(angle), size * np.cos(angle)

    nose_x, nose_y = arc(radius, -math.pi / 2, lean)
    bead_x, bead_y = arc(radius, -lean, lean)
    tail_x, tail_y = arc(radius, -lean, math.pi / 2)
    crease_x, crease_y = arc(BLEND, -lean, lean)
    creases = [
        (centres[:-1, None] + pitch / 2 + crease_x),
        np.broadcast_to(height - crease_y, (BEADS - 1, len(crease_x))),
    ]
    beads = [centres[1:-1, None] + bead_x, np.broadcast_to(bead_y, (BEADS - 2, len(bead_x)))]
    middle = [np.concatenate([c[:-1], b], axis=1).ravel() for c, b in zip(creases, beads, strict=True)]
    x = np.concatenate([centres[0] + nose_x, middle[0], creases[0][-1], centres[-1] + tail_x, [LENGTH]])
    y = np.concatenate([nose_y, middle[1], creases[1][-1], tail_y, [0.0]])
    return x, y


def plain_worm(sag: float, around: int) -> manifold3d.Manifold:
    """Rings on the outline, `around` corners each, and the ingest."""
    x, y = outline(sag)
    angle = 2 * np.pi * np.arange(around) / around
    vertices = np.empty((len(x) - 2, around, 3))
    vertices[..., 0] = x[1:-1, None]
    vertices[..., 1] = y[1:-1, None] * np.cos(angle)
    vertices[..., 2] = y[1:-1, None] * np.sin(angle)
    ring = np.arange(len(x) - 3)[:, None] * around
    here = np.arange(around)
    there = (here + 1) % around
    a, b, c, d = ring + here, ring + there, ring + around + here, ring + around + there
    first, last, behind = vertices.shape[0] * around, vertices.shape[0] * around + 1, (vertices.shape[0] - 1) * around
    triangles = np.concatenate(
        [
            np.stack([np.full(around, first), there, here], axis=1),
            np.stack([a, b, c], axis=-1).reshape(-1, 3),
            np.stack([b, d, c], axis=-1).reshape(-1, 3),
            np.stack([np.full(around, last), behind + here, behind + there], axis=1),
        ]
    )
    points = np.concatenate([vertices.reshape(-1, 3), [[0.0, 0.0, 0.0], [LENGTH, 0.0, 0.0]]])
    return manifold3d.Manifold(manifold3d.Mesh64(points, triangles.astype(np.uint64)))
