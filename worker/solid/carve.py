"""Blocks with things cut out of them: the halves of a mould."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import manifold3d
import numpy as np

from worker.solid.join import Meshes, bodies, settled
from worker.solid.solid import Solid

ADD = manifold3d.OpType.Add


@dataclass(frozen=True)
class Cutter:
    """What is cut out: the kernel's body of it."""

    body: manifold3d.Manifold

    @property
    def volume(self) -> float:
        """mm3."""
        return float(self.body.volume())

    @property
    def plan_area(self) -> float:
        """mm2 of its shadow on the level plane."""
        return float(self.body.project().area())

    def lower(self, by: float) -> Cutter:
        """This, mm further down."""
        return Cutter(self.body.translate((0.0, 0.0, -by)))

    def plain(self, fine: float) -> Cutter:
        """This with fewer triangles, no corner further off than `fine` mm. Raises GeometryFailed.

        Read in again from its mesh: the kernel would go on to take what it found plane to that measure as one face.
        """
        mesh = self.body.simplify(fine).to_mesh64()
        vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
        return cutter([(vertices, np.asarray(mesh.tri_verts).astype(np.int64))])

    def less(self, other: Cutter) -> Cutter:
        """This without the other."""
        return Cutter(self.body - other.body)

    def common(self, other: Cutter) -> Cutter:
        """What both have."""
        return Cutter(self.body ^ other.body)


def cutter(meshes: Meshes, *others: Cutter) -> Cutter:
    """All of these together, what overlaps once. Raises GeometryFailed for a mesh that does not close."""
    parts = [*bodies(meshes), *(other.body for other in others)]
    return Cutter(parts[0] if len(parts) == 1 else manifold3d.Manifold.batch_boolean(parts, ADD))


def side_by_side(parts: Sequence[Cutter]) -> Cutter:
    """Bodies of which none reaches into another."""
    return Cutter(manifold3d.Manifold.compose([each.body for each in parts]))


def apart(meshes: Meshes) -> Cutter:
    """Closed meshes that nowhere meet. Raises GeometryFailed for one that does not close."""
    parts = bodies(meshes)
    return Cutter(parts[0] if len(parts) == 1 else manifold3d.Manifold.compose(parts))


def carved(stock: Cutter, cuts: Sequence[Cutter], standing: Meshes = ()) -> Solid:
    """The stock less one cutter after another, the small ones first, with what stands in the cuts again.

    Raises GeometryFailed.
    """
    left = stock.body
    for each in cuts:
        left = left - each.body
    if standing:
        left = manifold3d.Manifold.batch_boolean([left, *bodies(standing)], ADD)
    return settled(left)
