"""Closed surfaces whose least sections are known, and the ends by which they are pulled."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import manifold3d
import numpy as np

from worker.measures.solid.flat_cut import FlatCut, fitted, least_section
from worker.measures.solid.grid import Flags, grid_of
from worker.measures.solid.minimum_cut import minimum_cut, ties_of
from worker.measures.solid.plane_section import Surface
from worker.measures.solid.refined import refined
from worker.strands.roots import Array

Body = manifold3d.Manifold
Which = Callable[[Array], Flags]


@dataclass(frozen=True)
class Found:
    """The coarse grid's area over the truth's, the finer one's, and the least section on the surface."""

    coarse: float
    fine: float
    flat: FlatCut | None


def surface_of(body: Body) -> Surface:
    mesh = body.to_mesh64()
    vertices = np.round(np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3], 5)
    return Surface(vertices, np.asarray(mesh.tri_verts).astype(np.int64))


def ball(radius: float, x: float, around: int = 160) -> Body:
    return Body.sphere(radius, around).translate((x, 0, 0))


def rod(radius: float, length: float, at: tuple[float, float, float] = (0, 0, 0), around: int = 160) -> Body:
    """Along x from `at`."""
    return Body.cylinder(length, radius, radius, around).rotate((0, 90, 0)).translate(at)


def found(body: Body, ends: Which, held: Which, cells: int = 12_000, across: float = 16) -> Found:
    """The least section between the cells that `ends` and `held` tell by their middles (n, 3), mm."""
    surface = surface_of(body)
    grid = grid_of(surface.vertices, surface.triangles, (body.volume() / cells) ** (1 / 3))
    lost, kept = ends(grid.middles), held(grid.middles)
    cut = minimum_cut(grid, ties_of(grid), lost, kept)
    assert cut is not None
    width = fitted(grid, cut, cut.area).width
    finer = refined(surface, grid, cut, lost, kept, cut.area, width / across)
    assert finer is not None
    plane = fitted(finer.grid, finer.cut, finer.cut.area)
    flat = least_section(surface, finer.grid, finer.cut, plane, finer.ends, finer.held) if plane.flat else None
    return Found(cut.area, finer.cut.area, flat)
