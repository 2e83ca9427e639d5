"""How much a flare adds to a bait, by arithmetic, from how the parent's surface falls away around the root.

In the plane through the strand's path and one of its sides, the ball rests between the strand and the parent's surface,
an arc there. Strand and chord of the arc meet at an angle b; a ball of radius r leaves r^2 (cot(b / 2) - (pi - b) / 2)
between the two and itself, of which the arc takes off the segment over its chord. That area, carried around the root by
its centroid, is the volume (Pappus). Solids have the ball's own surface (flare.py), which this is within a sixth of.
"""

from __future__ import annotations

import numpy as np

from worker.strands.flare import LEAST_BALL, ROOM, SMALLER
from worker.strands.roots import Array
from worker.strands.strand import Root, Strand

SIDES = 16
"""Places around the root at which the ball is rested."""
CENTROID = 0.2234
"""How far the centroid lies from the corner, over the chord: of the area between a square corner and a quarter circle,
(10 - 3 pi) / (12 - 3 pi)."""


def flare_volume(limb: Strand) -> float:
    """Volume, mm3, of the flare at the limb's root outside of limb and parent.

    A ball that does not fit gives way to a smaller one, as in flare.py: its foot lies ahead of the limb's beginning,
    and its touching point well before the tip.
    """
    root = limb.root
    if root is None:
        return 0.0
    radius, beyond = root.blend, ROOM * (limb.path.length - root.leaves)
    while radius >= LEAST_BALL:
        volume, lowest, highest = _resting(limb, root, radius)
        if root.leaves + lowest > 0 and highest < beyond:
            return volume
        radius *= SMALLER
    return 0.0


def _resting(limb: Strand, root: Root, radius: float) -> tuple[float, float, float]:
    """Volume, and the lowest foot and highest touching point of the ball along the limb from where its path leaves."""
    left, up = (part[0] for part in limb.section.rim(*limb.body.sizes(np.array([root.leaves])), SIDES))
    out_left, out_up = np.roll(up, -1) - np.roll(up, 1), np.roll(left, 1) - np.roll(left, -1)
    # Where corners of a cut section fall together there is no way out, and no rim either.
    size = np.maximum(np.sqrt(out_left * out_left + out_up * out_up), 1e-12)
    out_left, out_up = out_left / size, out_up / size
    tilt, bend = _surface(root)
    tilt = out_left * tilt[0] + out_up * tilt[1]
    bend = out_left * out_left * bend[0] + out_up * out_up * bend[1]
    begin = left * out_left + up * out_up
    end = begin + radius
    for _ in range(3):
        slope = tilt + (_fall(bend, end) - _fall(bend, begin)) / (end - begin)
        over = np.sqrt(1 + slope * slope)
        end = begin + radius * np.maximum(1 - slope / over, 0.05)
    chord = (end - begin) * over
    half_tangent = (1 - slope / over) * over  # cot(b / 2) of cos b = -slope / over, sin b = 1 / over
    turn = np.pi / 2 - np.arctan2(slope, 1.0)
    area = np.maximum(radius * radius * (half_tangent - turn / 2) - bend * chord * chord * chord / 12, 0.0)
    aside = CENTROID * (end - begin)
    middle_left, middle_up = left + aside * out_left, up + aside * out_up
    along = [np.diff(part, append=part[:1]) for part in (middle_left, middle_up)]
    step = np.sqrt(along[0] * along[0] + along[1] * along[1])
    volume = float(((area + np.roll(area, -1)) / 2 * step).sum())
    lowest = -float((tilt * end + _fall(bend, end)).max())
    highest = float((radius * half_tangent - tilt * begin - _fall(bend, begin)).max())
    return volume, lowest, highest


def _surface(root: Root) -> tuple[tuple[float, float], tuple[float, float]]:
    """Slope and curvature of the parent's surface under the path, to the left and to the back; 1 and 1/mm."""
    (left, right, back, belly), (a, b, c, d) = root.reach, root.drops
    side, height = (left + right) / 2, (back + belly) / 2
    tilts = (a - b) / (left + right), (c - d) / (back + belly)
    return tilts, (_bend(side, (a + b) / 2), _bend(height, (c + d) / 2))


def _bend(reach: float, drop: float) -> float:
    """Curvature of the circle that falls by `drop` at `reach` to the side; a hollow surface counts as a plane."""
    drop = min(max(drop, 0.0), 1.5 * reach)
    return 2 * drop / (reach * reach + drop * drop) if drop <= reach else 2 / reach


def _fall(bend: Array, at: Array) -> Array:
    """How far a circle of curvature `bend` has fallen at `at` to the side; straight down where it is past its side."""
    share = np.minimum(bend * at, 0.98)
    return np.asarray(bend * at * at / (1 + np.sqrt(1 - share * share)))
