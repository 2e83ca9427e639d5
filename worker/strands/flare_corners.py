"""Corners of a strand's rings, each at its own station, and the way out of it there: where a ball touches it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross, norm

STEP = 1e-4
"""Step, mm, by which it is told how fast a strand grows."""
STEEP = 1e3
"""Slope from which on a strand's side counts as square to its path."""


def corners_at(strand: Strand, station: Array) -> tuple[Array, Array]:
    """Each corner of the strand's rings at its own stations, (n,) or (n, k), n being the corners of a ring.

    Points and unit vectors out of the strand, (n, 3) or (n, k, 3).
    """
    around, count = station.shape if station.ndim == 2 else (len(station), 1)
    flat = station.reshape(-1)
    points, left, back = strand.path.frames(flat)
    across, upward = strand.body.section.rim(*strand.body.sizes(flat), around)
    which, row = np.repeat(np.arange(around), count), np.arange(len(flat))
    # The tangent of the ring at a corner is that from the corner before to the one behind: exact for an ellipse.
    before, behind = (which - 1) % around, (which + 1) % around
    right, up = across[row, behind] - across[row, before], upward[row, behind] - upward[row, before]
    # Corners of a cut section may lie in one place: such a one faces away from the path.
    none = right * right + up * up < 1e-18
    right, up = np.where(none, -upward[row, which], right), np.where(none, across[row, which], up)
    out = up[:, None] * left - right[:, None] * back
    out = out / np.maximum(norm(out), 1e-12)[:, None]  # at a pointed end there is none
    slope = _slope(strand, flat, (right, up), which)
    if slope is not None:
        out = (out - slope[:, None] * cross(left, back)) / np.sqrt(1 + slope * slope)[:, None]
    touch = points + across[row, which][:, None] * left + upward[row, which][:, None] * back
    shape = (*station.shape, 3)
    return touch.reshape(shape), out.reshape(shape)


def _slope(strand: Strand, station: Array, tangent: tuple[Array, Array], which: NDArray[np.int64]) -> Array | None:
    """How fast the strand grows at the corner `which` of its rim at each station, square to the rim; None where it does

    nowhere. `tangent` is the rim's there, to the left and to the back: each (n,).

    Without its relief: a rib's edge does not lean the ball. Beside a round tip a ball that stood square to the path
    would lie in the tip, and its arcs leave some of it out.
    """
    sizes, rises = strand.smooth.sizes(station), strand.smooth.rises(station)
    steepest = np.max(np.abs(rises), axis=0)
    if not steepest.any():
        return None
    step = STEP / (1 + np.minimum(steepest, STEEP))
    a, b, c = (size + step * np.clip(rise, -STEEP, STEEP) for size, rise in zip(sizes, rises, strict=True))
    row, around = np.arange(len(station)), int(which[-1]) + 1
    here, there = strand.body.section.rim(*sizes, around), strand.body.section.rim(a, b, c, around)
    aside, back = ((then[row, which] - now[row, which]) / step for now, then in zip(here, there, strict=True))
    right, up = tangent
    return np.asarray((aside * up - back * right) / np.maximum(np.sqrt(right * right + up * up), 1e-12))
