"""Size of a bait of several strands, by arithmetic: what lies in several of them counts once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from worker.measures.strand.flare_size import flares_of
from worker.measures.strand.places import Box, boxes_of, outside_all
from worker.measures.strand.size import Size
from worker.measures.strand.trunk_section import hang_together
from worker.measures.strand.union import union_of
from worker.strands.path import HandedPath
from worker.strands.strand import Strand


def size_of_all(trunk: tuple[Strand, ...], limbs: tuple[Strand, ...]) -> Size:
    """Length to surface of the bait. What lies in several strands counts once."""
    boxes = boxes_of((*trunk, *limbs))
    volume, surface = union_of((*trunk, *limbs), boxes)
    low, high = (np.stack(corners) for corners in zip(*boxes.values(), strict=True))
    length, width, height = (float(part) for part in high.max(axis=0) - low.min(axis=0))
    pieces = max(hang_together(trunk), *(len(strand.body.runs) for strand in trunk))
    volume += _flares(limbs, (*trunk, *limbs), boxes, volume)
    return Size(length, width, height, volume, surface, pieces)


WORTH = 0.005
"""Share of the bait's volume; of flares that are together no more than that the solid's balls are not asked."""
MUCH = 0.01
"""Share from which on every limb's ball is asked: half of its flares may not be there."""


def _flares(limbs: Sequence[Strand], strands: Sequence[Strand], boxes: Mapping[str, Box], whole: float) -> float:
    """Volume of all flares, mm3, of a bait that has `whole` mm3 without them.

    Less their sides that lie in a strand: in a limb beside, or in an uneven parent.
    """
    if not limbs:
        return 0.0
    paths = {id(limb.path) for limb in limbs}
    own = [limb for limb in limbs if not (isinstance(limb.path, HandedPath) and id(limb.path.of) in paths)]
    # Right limbs have their left counterparts' flares.
    flares = flares_of(own, WORTH * whole / len(limbs), MUCH * whole * len(own) / len(limbs))
    made = {id(limb.path): parts for limb, parts in zip(own, flares, strict=True)}
    for limb in limbs:
        if isinstance(limb.path, HandedPath) and id(limb.path.of) in made:
            made[id(limb.path)] = made[id(limb.path.of)].handed()
    volume = np.concatenate([made[id(limb.path)].volume for limb in limbs])
    place = np.concatenate([made[id(limb.path)].place for limb in limbs])
    return float(volume[outside_all(place, strands, boxes)].sum())
