"""Whether a strand's mesh with its flare leaves out some of the strand itself, between the parent's ribs or beads.

From the strand's own section inside of the parent the mesh goes straight to where the flare stands on the parent. Where
a thick strand leans over a groove that way runs below the strand's own side.
"""

from __future__ import annotations

import numpy as np

from worker.strands.attach import nearly_outside
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import dot, norm

STEPS = 12
"""Places between two rings that are looked at."""
MIDDLE = 1e-3
"""Share of the strand's reach within which a point lies on its path, in no direction from it."""


def cut_short(strand: Strand, parent: Strand, rings: Array, tolerance: float) -> bool:
    """Whether more than `tolerance` mm of `strand` lie outside both of its `parent` and of the skin over `rings`.

    `rings` (k, n, 3) are the corners from the last that is the strand's own up to the flare's feet.
    """
    # Half-way between two corners too: the groove between two ribs may be no wider than a ring's side.
    rings = np.concatenate([rings, (rings + np.roll(rings, -1, axis=1)) / 2], axis=1)
    share = ((np.arange(STEPS) + 0.5) / STEPS)[None, :, None, None]
    points = (rings[:-1, None] + share * (rings[1:] - rings[:-1])[:, None]).reshape(-1, 3)
    station = strand.path.nearest(points)
    centre, left, back = strand.path.frames(station)
    away = points - centre
    reach = 1 + strand.section.beyond(*strand.body.sizes(station), dot(away, left), dot(away, back))
    away, reach, centre = (each[reach > MIDDLE] for each in (away, reach, centre))
    length = norm(away) / reach
    short = length - norm(away) > tolerance
    bare = (centre + away / reach[:, None] * (1 - tolerance / length)[:, None])[short]
    return bool((nearly_outside(parent, bare, relief=True) > 0).any())
