"""The thickest place of a bait: where it cools last and is fed from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.measures.strand.trunk_grid import sections_from
from worker.strands.roots import Array
from worker.strands.strand import Strand

LIMB_LOOKS = 64


@dataclass(frozen=True, slots=True)
class Thickest:
    """Width and height of its section, mm, and the section's area, mm2."""

    width: float
    height: float
    area: float

    @property
    def least(self) -> float:
        """The lesser of both."""
        return min(self.width, self.height)

    @property
    def most(self) -> float:
        """The greater of both."""
        return max(self.width, self.height)

    @property
    def as_round(self) -> float:
        """Diameter of the round rod that cools like an oval one: sqrt(2 / (1 / w^2 + 1 / h^2)).

        Heat leaves both ways, each as 1 / size^2: exact for a round section, 15 % short of a wide plate's time, for
        which the plate's series stands (our approximation).
        """
        return float(np.sqrt(2 / (1 / self.width**2 + 1 / self.height**2)))


def thickest_of(trunk: Sequence[Strand], limbs: Sequence[Strand]) -> Thickest:
    """The place with the greatest `as_round` of all strands; hollows are not taken out, so it is on the safe side."""
    found = [_of_trunk(trunk), *(_of_strand(limb, _even(limb)) for limb in limbs)]
    return max(found, key=lambda each: round(each.as_round, 9))


def _of_trunk(trunk: Sequence[Strand]) -> Thickest:
    if len(trunk) == 1:
        body = trunk[0].body
        return _of_strand(trunk[0], np.unique(np.concatenate([body.grid().station, body.relief.crest_x])))
    sections = sections_from(trunk)[2]
    return _greatest(2 * sections.half_width, 2 * sections.half_height, sections.area)


def _even(strand: Strand) -> Array:
    return np.asarray(strand.body.ends[-1] * (np.arange(LIMB_LOOKS) + 0.5) / LIMB_LOOKS)


def _of_strand(strand: Strand, station: Array) -> Thickest:
    half_width, back, belly = strand.body.sizes(station)
    return _greatest(2 * half_width, back + strand.section.below(belly), strand.section.area(half_width, back, belly))


def _greatest(width: Array, height: Array, area: Array) -> Thickest:
    solid = (width > 0) & (height > 0)
    width, height, area = width[solid], height[solid], area[solid]
    slow = 1 / (1 / (width * width) + 1 / (height * height))
    # Of places that differ in their last bits alone the first is taken, on every machine.
    at = int(np.flatnonzero(slow >= float(slow.max()) * (1 - 1e-9))[0])
    return Thickest(float(width[at]), float(height[at]), float(area[at]))
