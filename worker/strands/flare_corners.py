"""Corners of a strand's rings, each at its own station, and the way out of it there: where a ball touches it."""

from __future__ import annotations

import numpy as np

from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross, norm

Vector = tuple[Array, Array]
Sizes = tuple[Array, Array, Array]
STEEP = 1e3
"""Slope from which on a strand's side counts as square to its path."""


def corners_at(strand: Strand, station: Array) -> tuple[Array, Array]:
    """Each corner of the strand's rings at its own stations, (n,) or (n, k), n being the corners of a ring.

    Points and unit vectors out of the strand, (n, 3) or (n, k, 3).
    """
    around, count = station.shape if station.ndim == 2 else (len(station), 1)
    flat = station.reshape(-1)
    points, left, back = strand.path.frames(flat)
    sizes = strand.body.sizes(flat)
    across, upward = strand.body.section.rim(*sizes, around)
    which, row = np.repeat(np.arange(around), count), np.arange(len(flat))
    # The tangent of the ring at a corner is that from the corner before to the one behind: exact for an ellipse.
    before, behind = (which - 1) % around, (which + 1) % around
    right, up = across[row, behind] - across[row, before], upward[row, behind] - upward[row, before]
    # Corners of a cut section may lie in one place: such a one faces away from the path.
    none = right * right + up * up < 1e-18
    right, up = np.where(none, -upward[row, which], right), np.where(none, across[row, which], up)
    out = up[:, None] * left - right[:, None] * back
    out = out / np.maximum(norm(out), 1e-12)[:, None]  # at a pointed end there is none
    aside, upright = across[row, which], upward[row, which]
    slope = _slope(strand, flat, sizes, (aside, upright), (right, up))
    if slope is not None:
        out = (out - slope[:, None] * cross(left, back)) / np.sqrt(1 + slope * slope)[:, None]
    touch = points + aside[:, None] * left + upright[:, None] * back
    shape = (*station.shape, 3)
    return touch.reshape(shape), out.reshape(shape)


def _slope(strand: Strand, station: Array, sizes: Sizes, point: Vector, way: Vector) -> Array | None:
    """How fast the strand grows at each `point` of its rim, square to the rim; None where it grows nowhere.

    `sizes` of the section at each station; `way`, along the rim there, and `point` to the left and to the back: (n,).
    Where a section grows, each of its points goes out as its half-width or its reach does; which of the rim's points
    comes to lie there does not matter, for that is a way along the rim. A flat belly stays level.

    Without its relief: a rib's edge does not lean the ball. Beside a round tip a ball that stood square to the path
    would lie in the tip, and its arcs leave some of it out.
    """
    rises = [np.clip(rise, -STEEP, STEEP) for rise in strand.smooth.rises(station)]
    if not any(rise.any() for rise in rises):
        return None
    wider, higher, deeper = (rise / np.maximum(size, 1e-9) for rise, size in zip(rises, sizes, strict=True))
    (aside, back), (right, up) = point, way
    floor = strand.body.section.floor
    level = np.zeros(len(back), dtype=bool) if floor is None else back <= 1e-9 - floor
    upward = np.where(level, 0.0, back * np.where(back >= 0, higher, deeper))
    return np.asarray((aside * wider * up - upward * right) / np.maximum(np.sqrt(right * right + up * up), 1e-12))
