"""Closed meshes to take pictures of, made here so that these tests stand apart from the styles."""

from __future__ import annotations

import math

import manifold3d
import numpy as np
from numpy.typing import NDArray

Vertices = NDArray[np.float64]
Triangles = NDArray[np.int64]
Mesh = tuple[Vertices, Triangles]


def revolved(stations: NDArray[np.float64], radii: NDArray[np.float64], around: int) -> Mesh:
    """An outline turned about the x axis; its first and last radius are zero."""
    turns = np.arange(around) * (2 * math.pi / around)
    rings = [
        np.stack([np.full(around, x), r * np.cos(turns), r * np.sin(turns)], axis=1)
        for x, r in zip(stations[1:-1], radii[1:-1], strict=True)
    ]
    vertices = np.concatenate([[[stations[0], 0, 0]], *rings, [[stations[-1], 0, 0]]])
    here = np.arange(around)
    there = (here + 1) % around
    triangles = [np.stack([np.zeros(around, int), 1 + there, 1 + here], axis=1)]
    for ring in range(len(rings) - 1):
        low, high = 1 + ring * around, 1 + (ring + 1) * around
        triangles.append(np.stack([low + here, low + there, high + there], axis=1))
        triangles.append(np.stack([low + here, high + there, high + here], axis=1))
    last = 1 + (len(rings) - 1) * around
    triangles.append(np.stack([np.full(around, len(vertices) - 1), last + here, last + there], axis=1))
    return vertices, np.concatenate(triangles)


def sphere(radius: float = 10.0, around: int = 96) -> Mesh:
    """A ball whose nose is at x = 0."""
    turns = np.linspace(0, math.pi, around // 2 + 1)
    radii = radius * np.sin(turns)
    radii[[0, -1]] = 0
    return revolved(radius - radius * np.cos(turns), radii, around)


def worm(beads: int = 14, per_bead: int = 14, around: int = 64, length: float = 127.0) -> Mesh:
    """Overlapping balls of 9 mm along the x axis, about 25,000 triangles."""
    radius = 4.5
    pitch = (length - 2 * radius) / (beads - 1)
    stations = np.linspace(0, length, beads * per_bead + 1)
    radii = np.zeros(len(stations))
    for bead in range(beads):
        inside = np.clip(radius**2 - (stations - radius - bead * pitch) ** 2, 0, None)
        radii = np.maximum(radii, np.sqrt(inside))
    radii = np.maximum(radii, 2.0)
    radii[[0, -1]] = 0
    return revolved(stations, radii, around)


def thin_rod(length: float = 60.0, radius: float = 1.0) -> Mesh:
    """A rod of 2 mm, as legs and feelers are."""
    stations = np.linspace(0, length, 120)
    from_end = np.minimum(stations, length - stations)
    radii = np.sqrt(np.clip(radius**2 - np.clip(radius - from_end, 0, None) ** 2, 0, None))
    radii[[0, -1]] = 0
    return revolved(stations, radii, 32)


def box(length: float, width: float, height: float) -> Mesh:
    """A block with its nose at x = 0, standing in the middle of y and z."""
    return _arrays(manifold3d.Manifold.cube((length, width, height)).translate((0, -width / 2, -height / 2)))


def craw() -> Mesh:
    """Two ribbed lobes on a core, with legs and claws, as one union: a few thousand triangles."""
    ball = manifold3d.Manifold.sphere
    core = manifold3d.Manifold.cylinder(46, 2.6, 2.6, 32).rotate((0, 90, 0))
    parts = [core]
    for side in (1, -1):
        for rib in range(11):
            parts.append(ball(4.6, 32).scale((0.7, 1, 1.1)).translate((4 + rib * 4, side * 3, 0)))
        for leg in range(3):
            rod = manifold3d.Manifold.cylinder(15, 1.1, 0.6, 24).rotate((-90 * side, 0, -30 * side))
            parts.append(rod.translate((14 + leg * 9, side * 4, -1)))
        claw = ball(1, 48).scale((17, 5, 1.6)).rotate((0, 0, 18 * side)).translate((60, side * 9, 1))
        parts.append(claw)
    whole = parts[0]
    for part in parts[1:]:
        whole = whole + part
    return _arrays(whole)


def _arrays(solid: manifold3d.Manifold) -> Mesh:
    mesh = solid.to_mesh()
    vertices = np.asarray(mesh.vert_properties)[:, :3].astype(np.float64)
    return vertices, np.asarray(mesh.tri_verts).astype(np.int64)
