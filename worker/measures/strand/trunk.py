"""Joints, girth and bending of a trunk that is made of several strands, from its sections."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from worker.measures.strand.joints import Joints, pulls
from worker.measures.strand.notch import BLUNTING_MM, notch_factors
from worker.measures.strand.trunk_grid import sections_from
from worker.measures.strand.trunk_section import place_of, trunk_sections
from worker.strands.strand import Strand
from worker.values.plastics import Range


@lru_cache(maxsize=64)  # a remedy tries many baits that differ in one strand
def trunk_joints(trunk: tuple[Strand, ...], strength: Range, blunting: float = BLUNTING_MM) -> Joints:
    """Necks between the ribs of a trunk: where its ribbed strands are thinnest, with the area of all of them together.

    Stations are mm from the nose. The thicker places on both sides are the trunk's sections at the ribs' crests.
    """
    ribbed = max(trunk, key=lambda strand: len(strand.body.relief.gaps.station))
    side = ribbed.body.relief
    joined = np.flatnonzero(ribbed.body.joined)
    station = place_of(ribbed, side.gaps.station[joined])
    necks, crests = trunk_sections(trunk, station), trunk_sections(trunk, place_of(ribbed, side.crest_x))
    smaller = np.minimum(crests.area[joined], crests.area[joined + 1])
    narrower = necks.area < smaller * (1 - 1e-9)
    area, smaller = necks.area[narrower], smaller[narrower]
    net, larger = 2 * np.sqrt(area / np.pi), 2 * np.sqrt(smaller / np.pi)
    sides = necks.half_width[narrower], necks.half_height[narrower]
    grooves = np.zeros(len(net), dtype=bool)
    blends = side.blends[joined][narrower]
    notch = notch_factors(larger, net, blends, shoulder=grooves, sides=sides, blunting=blunting)
    return Joints(
        station[narrower],
        area,
        necks.half_width[narrower],
        necks.half_height[narrower],
        larger,
        notch.factor,
        notch.out_of_range,
        np.zeros(len(net), dtype=bool),
        *pulls(area, notch.factor, strength),
    )


@lru_cache(maxsize=64)  # a remedy tries many baits that differ in one strand
def trunk_girth(trunk: tuple[Strand, ...]) -> float:
    """Greatest width, mm."""
    at = np.concatenate([place_of(strand, strand.body.side.crest_x) for strand in trunk])
    return 2 * float(trunk_sections(trunk, at).half_width.max())


def trunk_flexibility(trunk: Sequence[Strand], hold: float) -> float:
    """Tip give with the relief over without it, up and down, held where x is `hold` mm; see bending."""
    first = trunk[0]
    ends = place_of(first, np.array([0.0, first.path.length]))
    at, weight, relieved = sections_from(trunk, hold)
    lever = float(ends[1]) - at
    inside = lever > 1e-6
    gives = [
        float((weight * lever * lever / sections.up_down)[inside].sum())
        for sections in (relieved, trunk_sections(trunk, at, smooth=True))
    ]
    return gives[0] / gives[1]
