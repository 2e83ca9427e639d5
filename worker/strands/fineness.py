"""How fine a mesh of a strand is: corners of a ring and rings along the path, before there is a mesh."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from worker.strands import belly_level
from worker.strands.section import ELLIPSE, Section
from worker.strands.strand import Strand

RING_SHARE = 0.5
"""Share of the tolerance that the rings' corners may use; the chords along the strand have the rest."""
SAG_SHARE = 0.375
"""Greatest sag of a chord along the strand, over the tolerance: moved by 4/3 of it at most it stays inside."""
TURN_SHARE = 0.5
"""Share of that sag which belongs to the path's own turn, where there is one; the outline has the rest."""
FEWEST = 16
"""Corners of the smallest ring."""


def corners(largest_radius: float, tolerance: float, section: Section = ELLIPSE) -> int:
    """Corners of a ring, a multiple of 4, so that an area-keeping polygon stays within its share of the tolerance.

    A regular polygon of the circle's own area reaches R t^2 / 3 beyond it, t being half the angle between two corners.
    """
    half_angle = math.sqrt(3 * RING_SHARE * tolerance / largest_radius)
    return max(FEWEST, 4 * math.ceil(section.corners() * math.pi / half_angle / 4 - 1e-9))


def triangles_of(strands: Sequence[Strand], tolerance: float) -> int:
    """About how many triangles the meshes of all strands have before they are joined, within a fifth or so."""
    return sum(_triangles(strand, tolerance) for strand in strands)


def _triangles(strand: Strand, tolerance: float) -> int:
    body, path = strand.body, strand.path
    radius = float(max(outline.crest_y.max() for outline in body.outlines))
    sag = SAG_SHARE * tolerance
    of_outline = sag if path.straight else TURN_SHARE * sag
    along = max((outline.stations(of_outline) for outline in body.outlines), key=len)
    fixed = np.round(np.concatenate([body.ends, body.level_edges]), 9)
    station = belly_level.followed(body, np.union1d(along, fixed), fixed, of_outline)
    rings = len(path.subdivided(station, TURN_SHARE * sag, radius))
    return 2 * rings * corners(radius, tolerance, body.section)
