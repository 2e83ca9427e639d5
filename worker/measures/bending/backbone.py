"""A trunk as a beam: its sections from the hold to its tip, less what hollows take out of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from worker.measures.strand.hollows import AROUND, RINGS
from worker.measures.strand.places import boxes_of, filled_sections, outside_all, within
from worker.measures.strand.size import stretched
from worker.measures.strand.trunk_section import trunk_sections
from worker.measures.strand.whole import trunk_grid
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross, dot

LINKS = 48
"""Stretches of one length, each of which hangs as one and stands in the profile."""
PLAIN_CUTS = 8
"""A trunk without relief has few stretches of its own; it is cut into at least so many."""
LEAST_MM2 = 1e-6
"""Sections smaller than this are the very ends."""


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
        """The part before a station, mm; whole sections only."""
        return self._kept(self.station < station)

    def _kept(self, which: Array) -> Beam:
        return Beam(*(getattr(self, name)[which] for name in self.__dataclass_fields__))

    def shared_out(self, values: Array, edges: Array) -> Array:
        """How much of the integral of `values` lies between each two of `edges`, mm from the hold."""
        ends = np.concatenate([[0.0], np.cumsum(self.weight)])
        sums = np.concatenate([[0.0], np.cumsum(values * self.weight)])
        return np.diff(np.interp(edges, ends, sums))

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
    points, left, back = strand.path.frames(grid.station)
    beam = Beam(
        grid.station,
        grid.weight,
        area * stretched(strand, grid.station),
        up_down,
        sideways,
        points,
        np.asarray(left),
        np.asarray(back),
    )
    return _less(beam, [strand], hollows)._kept(area > LEAST_MM2)


def beam_of_trunk(trunk: Sequence[Strand], begin: float, hollows: Sequence[Strand]) -> Beam:
    """The trunk from `begin` mm behind its nose on; of several strands along x, the sections those of all together."""
    if len(trunk) == 1:
        return beam_of_strand(trunk[0], begin, hollows)
    x, weight = trunk_grid(trunk, begin)
    sections = trunk_sections(trunk, x)
    zero = np.zeros(len(x))
    left, back = (np.broadcast_to(np.array(way), (len(x), 3)) for way in ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    points = np.stack([x, zero, zero], axis=1)
    beam = Beam(x, weight, sections.area, sections.up_down, sections.sideways, points, left, back)
    return _less(beam, trunk, hollows)._kept(sections.area > LEAST_MM2)


def _less(beam: Beam, strands: Sequence[Strand], hollows: Sequence[Strand]) -> Beam:
    """The beam less the hollows: by the share that is left of places spread over each section."""
    if not hollows:
        return beam
    boxes = boxes_of((*strands, *hollows))
    reach = sum(max(float(outline.crest_y.max()) for outline in strand.body.outlines) for strand in strands)
    near = np.zeros(len(beam.station), dtype=bool)
    for hollow in hollows:
        low, high = boxes[hollow.name]
        near |= within(beam.points, low, high, reach)
    if not near.any():
        return beam
    here = beam._kept(near)
    if len(strands) == 1:
        places, share = filled_sections(strands[0], here.station, AROUND, RINGS)
    else:
        places, share = _spread_over(here, strands, boxes)
    free = outside_all(places, hollows, boxes).reshape(share.shape)
    centre = np.repeat(here.points, share.shape[1], axis=0)
    aside, upward = (
        dot(places - centre, np.repeat(way, share.shape[1], axis=0)).reshape(share.shape)
        for way in (here.left, here.back)
    )
    kept = []
    for values in (None, upward, aside):
        full, net = (_moment(share * part, values) for part in (np.ones(share.shape), free))
        kept.append(np.where(full > 0, net / np.maximum(full, 1e-12), 1.0))
    area, up_down, sideways = beam.area.copy(), beam.up_down.copy(), beam.sideways.copy()
    for column, part in zip((area, up_down, sideways), kept, strict=True):
        column[near] *= np.maximum(part, 1e-6)
    return Beam(beam.station, beam.weight, area, up_down, sideways, beam.points, beam.left, beam.back)


def _moment(weight: Array, at: Array | None) -> Array:
    """Sum of the weights, or their second moment about their own middle, row by row."""
    whole = weight.sum(axis=1)
    if at is None:
        return np.asarray(whole)
    first = (weight * at).sum(axis=1)
    return np.asarray((weight * at * at).sum(axis=1) - first * first / np.maximum(whole, 1e-12))


def _spread_over(beam: Beam, strands: Sequence[Strand], boxes: dict[str, tuple[Array, Array]]) -> tuple[Array, Array]:
    """Places in the planes across x that lie in any of the strands, and the share of the section that each is."""
    low, high = (np.stack(part) for part in zip(*(boxes[strand.name] for strand in strands), strict=True))
    low, high = low.min(axis=0), high.max(axis=0)
    y, z = (low[axis] + (high[axis] - low[axis]) * (np.arange(AROUND) + 0.5) / AROUND for axis in (1, 2))
    across = np.stack([np.repeat(y, AROUND), np.tile(z, AROUND)], axis=1)
    places = np.empty((len(beam.station), len(across), 3))
    places[:, :, 0] = beam.points[:, :1]
    places[:, :, 1:] = across
    flat = places.reshape(-1, 3)
    inside = ~outside_all(flat, strands, boxes).reshape(places.shape[:2])
    return flat, inside / np.maximum(inside.sum(axis=1, keepdims=True), 1)
