"""A trunk as a beam: its sections from the hold to its tip, less what hollows take out of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from worker.measures.bending.net_sections import shares_left
from worker.measures.strand.size import stretched
from worker.measures.strand.trunk_grid import sections_from
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross

LINKS = 48
"""Stretches of one length, each of which hangs as one and stands in the profile."""
PLAIN_CUTS = 8
"""A trunk without relief has few stretches of its own; it is cut into at least so many."""
LEAST_MM2 = 1e-6
"""Sections smaller than this are the very ends."""
LEAST_SHARE = 1e-3
"""Of a second moment where hollows seem to leave nothing, by places that they all hold: a film is left."""


@dataclass(frozen=True)
class Beam:
    """Sections along a line, from where it is held on; (n,) and (n, 3).

    `weight`: mm that each stands for. `area`: mm2, of plastic, a turn's longer outside and all. Second moments, mm4,
    about each section's middle: for bending up and down, and sideways. `back` and `left` are the sections' directions.
    """

    station: Array
    weight: Array
    area: Array
    up_down: Array
    sideways: Array
    points: Array
    left: Array
    back: Array

    @cached_property
    def torsion(self) -> Array:
        """Twisting stiffness over the shear modulus, mm4: 4 I1 I2 / (I1 + I2), exact for an ellipse (Saint-Venant)."""
        return np.asarray(4 * self.up_down * self.sideways / (self.up_down + self.sideways))

    @cached_property
    def along(self) -> Array:
        """Directions of the line."""
        return cross(self.left, self.back)

    def until(self, station: float) -> Beam:
        """The sections before a station, mm."""
        return self.only(self.station < station)

    def only(self, which: NDArray[np.bool_]) -> Beam:
        """The sections of which `which` is true."""
        if which.all():
            return self
        return Beam(*(getattr(self, name)[which] for name in self.__dataclass_fields__))

    def shared_out(self, values: Array, edges: Array) -> Array:
        """How much of the integral of `values` lies between each two of `edges`, mm from the hold."""
        sums = np.concatenate([[0.0], np.cumsum(values * self.weight)])
        return np.diff(np.interp(edges, self._ends, sums))

    @cached_property
    def _ends(self) -> Array:
        """mm from the hold to where each stretch begins, and to the tip."""
        return np.concatenate([[0.0], np.cumsum(self.weight)])

    @property
    def length(self) -> float:
        """mm from the hold to the tip."""
        return float(self.weight.sum())


def beam_of_strand(strand: Strand, begin: float, hollows: Sequence[Strand] = ()) -> Beam:
    """One strand from `begin` mm on to its tip."""
    end = float(strand.body.ends[-1])
    extra = begin + (end - begin) * np.arange(1, PLAIN_CUTS) / PLAIN_CUTS
    grid = strand.body.grid(begin, extra)
    sizes = strand.body.sizes(grid.station)
    area = strand.section.area(*sizes)
    _, up_down, sideways = strand.section.moments(*sizes)
    whole = Beam(grid.station, grid.weight, area, up_down, sideways, *strand.path.frames(grid.station))
    beam = _less(whole, [strand], hollows)
    return replace(beam, area=beam.area * stretched(strand, beam.station))


def beam_of_trunk(trunk: Sequence[Strand], begin: float, hollows: Sequence[Strand]) -> Beam:
    """The trunk from `begin` mm behind its nose on; of several strands along x, the sections those of all together."""
    if len(trunk) == 1:
        return beam_of_strand(trunk[0], begin, hollows)
    x, weight, sections = sections_from(trunk, begin)
    zero = np.zeros(len(x))
    left, back = (np.broadcast_to(np.array(way), (len(x), 3)) for way in ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    points = np.stack([x, zero, zero], axis=1)
    beam = Beam(x, weight, sections.area, sections.up_down, sections.sideways, points, left, back)
    return _less(beam, trunk, hollows)


def _less(beam: Beam, strands: Sequence[Strand], hollows: Sequence[Strand]) -> Beam:
    """The beam less the hollows and less its very ends."""
    beam = beam.only(beam.area > LEAST_MM2)
    if not hollows:
        return beam
    area, up_down, sideways = shares_left(strands, beam.station, (beam.points, beam.left, beam.back), hollows)
    return replace(
        beam,
        area=beam.area * area,
        up_down=beam.up_down * np.maximum(up_down, LEAST_SHARE),
        sideways=beam.sideways * np.maximum(sideways, LEAST_SHARE),
    )
