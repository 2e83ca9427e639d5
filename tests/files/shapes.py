"""Closed meshes to write: a sphere, a beaded worm, a craw, and heaps of crossing parts."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from math import acos, pi

import manifold3d
import numpy as np
from numpy.typing import NDArray

Manifold = manifold3d.Manifold
Points = NDArray[np.float64]
Corners = NDArray[np.int64]


@dataclass(frozen=True)
class Shape:
    """Vertices (n, 3) in mm on the grid of 1e-5 mm, and outward triangles (m, 3)."""

    vertices: Points
    triangles: Corners

    @property
    def body(self) -> Manifold:
        return body_of(self.vertices, self.triangles)


def body_of(vertices: Points, triangles: Corners) -> Manifold:
    """The kernel's body; a mesh that is not closed fails here."""
    body = Manifold(manifold3d.Mesh64(np.ascontiguousarray(vertices), triangles.astype(np.uint64)))
    assert body.status() == manifold3d.Error.NoError, body.status()
    return body


def shape_of(body: Manifold) -> Shape:
    mesh = body.to_mesh64()
    return Shape(np.round(mesh.vert_properties[:, :3], 5), np.asarray(mesh.tri_verts, np.int64))


def turned(stations: Points, radii: Points, around: int) -> Shape:
    """A body of revolution about x from a first pole to a last (radius 0 at both)."""
    angle = 2 * pi * np.arange(around) / around
    rings = np.empty((len(stations) - 2, around, 3))
    rings[..., 0] = stations[1:-1, None]
    rings[..., 1] = radii[1:-1, None] * np.cos(angle)
    rings[..., 2] = radii[1:-1, None] * np.sin(angle)
    return _closed([stations[0], 0, 0], rings, [stations[-1], 0, 0])


def rod(start: Points, end: Points, bow: Points, radii: tuple[float, float], along: int, around: int) -> Shape:
    """A round rod along a bowed line, with a flat cone at either end."""
    share = np.linspace(0, 1, along)[:, None]
    centres = start + (end - start) * share + bow * (4 * share * (1 - share))
    ahead = np.gradient(centres, axis=0)
    ahead /= np.sqrt((ahead**2).sum(axis=1, keepdims=True))
    side = np.cross(ahead, [0.0, 0.0, 1.0])
    side /= np.sqrt((side**2).sum(axis=1, keepdims=True))
    up = np.cross(side, ahead)
    radius = (radii[0] + (radii[1] - radii[0]) * share)[:, None]
    angle = (2 * pi * np.arange(around) / around)[None, :, None]
    rings = centres[:, None] + radius * (np.cos(angle) * side[:, None] + np.sin(angle) * up[:, None])
    return _closed(centres[0] - ahead[0] * radii[0], rings, centres[-1] + ahead[-1] * radii[1])


def _closed(first: object, rings: Points, last: object) -> Shape:
    count, around = rings.shape[:2]
    vertices = np.concatenate([[first], rings.reshape(-1, 3), [last]]).astype(np.float64)
    here = np.arange(around)
    after = (here + 1) % around
    row = 1 + around * np.arange(count - 1)[:, None]
    quads = [
        np.stack([row + here, row + around + here, row + after], axis=-1),
        np.stack([row + after, row + around + here, row + around + after], axis=-1),
    ]
    start = np.stack([0 * here, 1 + here, 1 + after], axis=-1)
    end = np.stack(
        [0 * here + len(vertices) - 1, 1 + around * (count - 1) + after, 1 + around * (count - 1) + here], -1
    )
    triangles = np.concatenate([start, *(quad.reshape(-1, 3) for quad in quads), end])
    if volume_of(vertices, triangles) < 0:
        triangles = triangles[:, ::-1]
    return Shape(np.round(vertices, 5), np.ascontiguousarray(triangles, np.int64))


def volume_of(vertices: Points, triangles: Corners) -> float:
    a, b, c = (vertices[triangles[:, slot]] for slot in range(3))
    return float((a * np.cross(b, c)).sum() / 6)


BEAD_RADIUS, BEADS, WORM_LENGTH = 4.5, 16, 127.0
PITCH = (WORM_LENGTH - 2 * BEAD_RADIUS) / (BEADS - 1)
WORM_AROUND = 84


@functools.cache
def sphere(radius: float = 5.0, segments: int = 64) -> Shape:
    return shape_of(Manifold.sphere(radius, segments))


@functools.cache
def worm() -> Shape:
    """Sixteen balls of 9 mm in a row of 127 mm, creased where they meet: 48,216 triangles."""
    stations, radii = [], []
    for bead in range(BEADS):
        first = pi if bead == 0 else acos(-PITCH / 2 / BEAD_RADIUS)
        last = 0.0 if bead == BEADS - 1 else acos(PITCH / 2 / BEAD_RADIUS)
        angle = np.linspace(first, last, 19)[1 if bead else 0 :]
        stations.append(BEAD_RADIUS + bead * PITCH + BEAD_RADIUS * np.cos(angle))
        radii.append(BEAD_RADIUS * np.sin(angle))
    return turned(np.concatenate(stations), np.concatenate(radii), WORM_AROUND)


@functools.cache
def craw() -> Shape:
    """Two ribbed lobes on a core, 24 legs, two feelers and two claws, joined: about 112,000 triangles."""
    stations, radii = [0.0], [0.0]
    for rib in range(20):
        for share, height in ((0.02, -0.9), (0.15, 0.0), (0.3, -0.05), (0.5, -0.27), (0.7, -0.54), (0.9, -0.81)):
            x = (rib + share) * 2.4
            stations.append(x)
            radii.append(max(0.3, (4.5 + height) * max(0.05, 1 - ((x - 24) / 24) ** 2) ** 0.25))
    lobe = turned(np.array([*stations, 48.0]), np.array([*radii, 0.0]), 116).body
    parts = [lobe.translate((0, -3, 0)), lobe.translate((0, 3, 0))]

    def add(start: object, end: object, bow: object, radii: tuple[float, float], along: int, around: int) -> None:
        parts.append(rod(*(np.array(p, np.float64) for p in (start, end, bow)), radii, along, around).body)

    add((2, 0, 0), (46, 0, 0), (0, 0, 0), (3, 3), 72, 56)
    for side in (-1, 1):
        for leg in range(12):
            x = 8 + 3 * leg
            foot = (x + 6 + 0.3 * leg, side * (13 + 0.2 * leg), -4)
            add((x, side * 5, -1.5), foot, (0, 0, 1.5), (1.0, 0.7), 36, 28)
        add((3, side * 2, 1), (-4, side * 12, 2), (0, side * 2, 4), (0.8, 0.45), 44, 24)
        add((44, side * 3, 0), (50, side * 7, 0), (0, 0, 0), (1.8, 1.7), 20, 36)
        claw = Manifold.sphere(1, 144).scale((19, 6.5, 1.6)).rotate((0, 0, side * 25))
        parts.append(claw.translate((62, side * 12, 0)))
    return shape_of(Manifold.batch_boolean(parts, manifold3d.OpType.Add))


@functools.cache
def heap(seed: int) -> Shape:
    """Parts thrown together anyhow: the clefts and splinters between them are what a simplification gets wrong."""
    chance = np.random.Generator(np.random.PCG64(seed))
    parts = []
    for _ in range(int(chance.integers(4, 12))):
        kind = int(chance.integers(3))
        if kind == 0:
            start = chance.uniform(-10, 30, 3)
            way, bow = chance.normal(size=3) * 15 + [1, 1, 0], chance.normal(size=3) * 4
            thick = (float(chance.uniform(0.4, 3)), float(chance.uniform(0.4, 2)))
            body = rod(start, start + way, bow, thick, int(chance.integers(15, 60)), int(chance.integers(12, 40))).body
        elif kind == 1:
            body = Manifold.sphere(1, int(chance.integers(32, 128))).scale(tuple(chance.uniform(0.6, 15, 3)))
        else:
            body = worm().body.scale((0.3, 0.8, 0.8))
        parts.append(body.rotate(tuple(chance.uniform(-40, 40, 3))).translate(tuple(chance.uniform(-4, 4, 3))))
    return shape_of(Manifold.batch_boolean(parts, manifold3d.OpType.Add))
