"""A bait's columns at turns about its line from nose to tail: its mesh is cut once for all of them."""

from __future__ import annotations

from dataclasses import replace

from worker.mould.columns import Columns, columns_on
from worker.mould.frame import Frame, cosine_sine
from worker.mould.slices import Whole, slices_of
from worker.strands.roots import Array


class Turned:
    """Of a closed mesh, (n, 3) mm and (m, 3), `cell` mm apart, each turn worked out once."""

    def __init__(self, vertices: Array, triangles: Whole, cell: float) -> None:
        self._vertices = vertices
        self._cuts = slices_of(vertices, triangles, cell)
        self._known: dict[float, Columns] = {}

    def columns(self, turn: float) -> Columns:
        """At a turn, degrees. Raises GeometryFailed for an open mesh."""
        if turn not in self._known:
            cosine, sine = cosine_sine(turn)
            cuts = self._cuts
            y, z = cosine * cuts.y + sine * cuts.z, cosine * cuts.z - sine * cuts.y
            turned = Frame(1.0, turn, 0.0).to_mould(self._vertices)
            self._known[turn] = columns_on(replace(cuts, y=y, z=z), turned)
        return self._known[turn]
