"""How much a notch raises the stress at a flat cut: the planes' own rule, on sections beside the cut."""

from __future__ import annotations

import math

import numpy as np

from worker.measures.solid.flat_cut import FlatCut
from worker.measures.solid.plane_section import Surface, section
from worker.measures.strand.limb_joints import BEND_OVER
from worker.measures.strand.notch import BLUNTING_MM, notch_factors
from worker.strands.roots import Array

FALLS = 0.98
"""Beyond a section across less than this share of the greatest before it lies the next neck."""
STEPS, WITHIN = 6, 1.0
"""So many sections to each side, the last so many diameters of the cut away, tell the thicker places beside it. Further
off, sections that lie parallel to the cut cross a bent strand at a slant and seem thicker than it is."""


def notch_of(surface: Surface, cut: FlatCut, places: Array, blunting: float = BLUNTING_MM) -> float:
    """The notch factor of a groove between the thicker places on both sides of a cut, rounded as its rims are."""
    net = 2 * math.sqrt(cut.area / math.pi)

    def across(away: float) -> float:
        return 2 * math.sqrt(section(surface, cut.point + away * cut.normal, cut.normal, places).area / math.pi)

    sides = []
    for way in (-1.0, 1.0):
        greatest = net
        for step in range(1, STEPS + 1):
            there = across(way * WITHIN * net * step / STEPS)
            if there < FALLS * greatest:
                break
            greatest = max(greatest, there)
        sides.append(greatest)
    # A round of radius r rises by h^2 / 2r over h.
    rise = max(across(-BEND_OVER), across(BEND_OVER)) - net
    blend = BEND_OVER * BEND_OVER / max(rise, 1e-6)
    larger, groove = np.array([min(sides)]), np.array([False])
    notch = notch_factors(larger, np.array([net]), np.array([blend]), shoulder=groove, blunting=blunting)
    return float(notch.factor[0])
