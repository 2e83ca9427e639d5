"""Strands that lie along what they hang on: the seam between, which a grid of the whole bait is too coarse to see."""

from __future__ import annotations

import math

import numpy as np

from worker.measures.solid.grid import Flags, Grid
from worker.measures.solid.minimum_cut import UNIT, Cut, Ties
from worker.measures.solid.vectors3 import main_axes, middle_of
from worker.strands.strand import Strand

LONGER = 1.5
"""Where a strand touches the rest over more than this times its own greatest thickness it lies along it: the root of
one that stands is no longer than it is thick (judgement)."""


def seam_of(grid: Grid, ties: Ties, limb: Strand, own: Flags) -> Cut | None:
    """The cut along which the cells `own` (n,) of a strand touch all others; None where it stands on its root."""
    touching = np.flatnonzero(own[ties.one] != own[ties.two])
    if len(touching) == 0:
        return None
    shares = np.asarray(ties.weight[touching] * (grid.size * grid.size / UNIT), dtype=np.float64)
    places = (grid.middles[ties.one[touching]] + grid.middles[ties.two[touching]]) / 2
    squares, _ = main_axes(places, shares, middle_of(places, shares))
    thick = 2 * max(float(size.max()) for size in limb.body.half_sizes(limb.body.ends))
    thick = max(thick, limb.body.greatest_height, 2 * float(limb.body.side.crest_y.max()))
    if math.sqrt(12 * float(squares[0])) <= LONGER * thick:
        return None
    return Cut(own, float(shares.sum()), places, shares)
