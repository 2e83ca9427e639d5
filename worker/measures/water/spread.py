"""Where a bait's plastic lies along it, and how its parts stand against the water from below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from worker.measures.strand.size import stretched
from worker.measures.strand.trunk_grid import sections_from
from worker.measures.water.drag import crosswise, endwise
from worker.measures.water.taken_middle import middle_taken
from worker.strands.body import Grid
from worker.strands.path import HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross

LOOKS = 24
"""Stations along a limb."""


@dataclass(frozen=True)
class Part:
    """One strand, or a trunk of several together: mm3, mm2, and where their middles lie along x, mm.

    `plan` is its area as seen from above; `drag` the same times its drag coefficient as it falls level.
    """

    name: str
    volume: float
    middle: float
    plan: float
    plan_middle: float
    drag: float


@dataclass(frozen=True)
class Spread:
    """A bait's parts, the trunk's first, and what hollows take out: volume mm3 and its middle along x, mm.

    `ahead` is its drag coefficient times its area, mm2, as it falls on end.
    """

    parts: tuple[Part, ...]
    taken: float
    taken_middle: float
    ahead: float

    @cached_property
    def volume(self) -> float:
        """Of plastic, mm3."""
        return sum(part.volume for part in self.parts) - self.taken

    @cached_property
    def middle(self) -> float:
        """x of the plastic's middle, mm: where its weight acts."""
        moment = sum(part.volume * part.middle for part in self.parts) - self.taken * self.taken_middle
        return moment / self.volume

    @cached_property
    def drag(self) -> float:
        """Drag coefficient times area, mm2, as it falls level."""
        return sum(part.drag for part in self.parts)

    @cached_property
    def drag_middle(self) -> float:
        """x at which the water bears it as it falls level, mm."""
        return sum(part.drag * part.plan_middle for part in self.parts) / self.drag


def spread_of(
    trunk: Sequence[Strand], limbs: Sequence[Strand], hollows: Sequence[Strand], whole: float, taken: float
) -> Spread:
    """The spread of a bait whose strands have `whole` mm3 together, of which hollows take `taken`.

    What limbs have in common with what they grow from is taken off them all in one proportion.
    """
    core, ahead = _trunk_part(trunk)
    outer = _limb_parts(limbs)
    free = sum(part.volume for part in outer)
    share = max(whole - core.volume, 0.0) / free if free else 0.0
    middle = middle_taken((*trunk, *limbs), hollows) if taken > 0 else 0.0
    return Spread((core, *(replace(part, volume=share * part.volume) for part in outer)), taken, middle, ahead)


def _trunk_part(trunk: Sequence[Strand]) -> tuple[Part, float]:
    if len(trunk) == 1:
        part, sizes = _strand_part(trunk[0], 0.0), trunk[0].body
        width, height = 2 * float(sizes.side.crest_y.max()), sizes.greatest_height
        length = trunk[0].path.length
    else:
        x, weight, sections = sections_from(trunk)
        part = _part("trunk", x, weight, sections.area, 2 * sections.half_width, 2 * sections.half_height, weight)
        width, height = 2 * float(sections.half_width.max()), 2 * float(sections.half_height.max())
        length = float(weight.sum())
    return part, endwise(length / width) * np.pi / 4 * width * height


def _limb_parts(limbs: Sequence[Strand]) -> list[Part]:
    """Of each limb what is outside of its parent. A handed one's is its counterpart's."""
    known: dict[int, Part] = {}
    for limb in limbs:
        path = limb.path.of if isinstance(limb.path, HandedPath) else limb.path
        if id(path) not in known:
            known[id(path)] = _strand_part(limb, 0.0 if limb.root is None else limb.root.leaves)
        known[id(limb.path)] = replace(known[id(path)], name=limb.name)
    return [known[id(limb.path)] for limb in limbs]


def _strand_part(strand: Strand, begin: float) -> Part:
    """The strand from `begin` mm on: it may point any way, so widths are those that are seen from above."""
    whole = strand.root is None
    grid = strand.body.whole_grid if whole else _even_grid(begin, float(strand.body.ends[-1]))
    points, left, back = strand.path.frames(grid.station)
    sizes = strand.body.sizes_on_grid if whole else strand.body.sizes(grid.station)
    volume = strand.section.area(*sizes) * stretched(strand, grid.station)
    if strand.path.straight and abs(left[0, 1]) == 1:
        along, width, height = np.ones(len(points)), 2 * sizes[0], sizes[1] + strand.section.below(sizes[2])
    else:
        tangent = cross(left, back)
        along = np.sqrt(tangent[:, 0] * tangent[:, 0] + tangent[:, 1] * tangent[:, 1])
        # Level and square to the way that is seen; of a strand that stands upright any level way will do.
        aside = np.stack([-tangent[:, 1], tangent[:, 0]], axis=1) / np.maximum(along, 1e-9)[:, None]
        aside[along < 1e-6] = (0.0, 1.0)
        left_share = left[:, 0] * aside[:, 0] + left[:, 1] * aside[:, 1]
        back_share = back[:, 0] * aside[:, 0] + back[:, 1] * aside[:, 1]
        width = _across(strand, sizes, left_share, back_share)
        # Across the width, square to the path: how thick it is.
        height = _across(strand, sizes, back_share, -left_share)
    return _part(strand.name, points[:, 0], grid.weight, volume, width, height, grid.weight * along)


def _even_grid(begin: float, end: float) -> Grid:
    """Few stations: of a limb only where its middle lies has to be right."""
    step = (end - begin) / LOOKS
    return Grid(np.asarray(begin + step * (np.arange(LOOKS) + 0.5)), np.full(LOOKS, float(step)))


def _across(strand: Strand, sizes: tuple[Array, Array, Array], left: Array, back: Array) -> Array:
    section = strand.section
    return np.asarray(section.reach(*sizes, left, back) + section.reach(*sizes, -left, -back))


def _part(name: str, x: Array, weight: Array, area: Array, width: Array, height: Array, way: Array) -> Part:
    """`way` is the path's own length as seen from above, at each station."""
    volume, plan = area * weight, width * way
    whole, seen = float(volume.sum()), max(float(plan.sum()), 1e-9)
    length, flatness = float(way.sum()), float((width * way).sum() / max(float((height * way).sum()), 1e-9))
    coefficient = crosswise(length * length / seen, flatness)
    middle = float((volume * x).sum()) / whole
    return Part(name, whole, middle, seen, float((plan * x).sum()) / seen, coefficient * seen)
