"""A closed mesh that has been checked: what measures and files are taken from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import manifold3d
import numpy as np
from numpy.typing import NDArray

from worker.errors import GeometryFailed
from worker.solid.rings import Triangles
from worker.solid.weld import welded
from worker.strands.roots import Array

DECIMALS = 5
"""Vertices are rounded to 1e-5 mm: far below any printer, far above the last bit of a processor's arithmetic."""
COARSER: tuple[tuple[float, int], ...] = ((128.0, 2), (256.0, 4), (512.0, 8))
"""From which distance on, mm, a coordinate is rounded to how many 1e-5 mm.

STL keeps 24 bits of each (IEEE 754 binary32), which from 128 mm on stand 1.5e-5 mm apart: two corners a rounding apart
would be one there, and the surface pinched or open.
"""


@dataclass(frozen=True)
class Solid:
    """Vertices (n, 3) in mm and outward triangles (m, 3) of a closed surface, and the kernel's body of them."""

    vertices: Array
    triangles: Triangles
    body: manifold3d.Manifold

    @property
    def volume(self) -> float:
        """mm3: the sum of a . (b x c) / 6 over the triangles."""
        return float(self.body.volume())

    @property
    def surface(self) -> float:
        """mm2."""
        return float(self.body.surface_area())

    @cached_property
    def parts(self) -> list[manifold3d.Manifold]:
        """The pieces that do not hang together. The skin of a closed pocket lies inside out: it is none."""
        return [part for part in self.surfaces if part.volume() > 0]

    @cached_property
    def surfaces(self) -> list[manifold3d.Manifold]:
        """The closed surfaces, those of pockets too."""
        return list(self.body.decompose())

    @property
    def through_holes(self) -> int:
        """Holes that go through, over all pieces (the genus)."""
        return sum(part.genus() for part in self.surfaces)

    @property
    def extent(self) -> tuple[float, float, float]:
        """Length, width and height of the box around it, mm."""
        size = self.vertices.max(axis=0) - self.vertices.min(axis=0)
        return float(size[0]), float(size[1]), float(size[2])


def rounded(vertices: Array) -> Array:
    """Vertices, (n, 3), in whole 1e-5 mm, far from the nose in more of them, without negative zeros."""
    found = np.round(vertices, DECIMALS) + 0.0
    for distance, steps in COARSER:
        far = np.abs(found) >= distance
        if not far.any():
            break
        found[far] = np.round(np.rint(found[far] * (10.0**DECIMALS / steps)) * (steps / 10.0**DECIMALS), DECIMALS)
    return found


def in_steps(vertices: Array) -> NDArray[np.int64]:
    """The same in whole 1e-5 mm."""
    return np.asarray(np.rint(rounded(vertices) * 10.0**DECIMALS).astype(np.int64))


def checked_solid(vertices: Array, triangles: Triangles) -> Solid:
    """The solid of a mesh, its vertices rounded. Raises GeometryFailed unless it is closed, outward and positive."""
    corners, triangles = welded(rounded(vertices), triangles)
    mesh = manifold3d.Mesh64(np.ascontiguousarray(corners), np.ascontiguousarray(triangles, dtype=np.uint64))
    body = manifold3d.Manifold(mesh)
    if body.status() != manifold3d.Error.NoError:
        raise GeometryFailed(f"The surface does not close: {body.status().name}.")
    if body.is_empty() or not body.volume() > 0:
        raise GeometryFailed("The surface encloses no volume, or is turned inside out.")
    return Solid(corners, triangles, body)
