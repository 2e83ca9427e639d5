"""How far a tip gives under a small force: the unit-load method on a line of any shape.

delta = sum of M^2 / EI over both bendings, and of the twisting moment over GJ, with G = E / 3 (a soft plastic keeps its
volume). Of a straight beam it is the integral of (L - s)^2 / EI (Roark's Formulas for Stress and Strain, table 8.1).
Small-deflection theory: the rate at which a tip begins to give, not how far it goes.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from worker.measures.bending.backbone import Beam
from worker.strands.roots import Array
from worker.strands.vectors import cross, dot

SIDE, UP_DOWN = np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0])
TWIST_OVER_BEND = 3.0
"""Young's modulus over the shear modulus of what keeps its volume."""


def tip_give_over(beams: Sequence[Beam], tip: Array, force: Array) -> float:
    """Give, 1/mm, times the modulus (MPa) over the force (N), at `tip` (3,) along `force` (3,), a unit vector.

    `beams` follow each other from the hold to the tip.
    """
    total = 0.0
    for beam in beams:
        moment = cross(tip - beam.points, np.broadcast_to(force, beam.points.shape))
        up_down, sideways, twist = (dot(moment, way) for way in (beam.left, beam.back, beam.along))
        bent = up_down * up_down / beam.up_down + sideways * sideways / beam.sideways
        total += float((beam.weight * (bent + TWIST_OVER_BEND * twist * twist / beam.torsion)).sum())
    return total
