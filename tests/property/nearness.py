"""How far points of a mesh lie from the exact surface, measured apart from the code that placed them.

The exact surface is taken as closely spaced sections of the outline. A point is compared with the curve that its own
direction from the centre line draws along the strand, and with the flat faces: never less than its true distance.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from worker.strands.body import Body

Array = NDArray[np.float64]

PER_PIECE = 256
"""Sections over one piece of the outline, bunched to its ends where arcs stand upright."""
BESIDE = 40
"""Sections looked at on either side of a point."""
LOOSENESS = 4e-4
"""Sag of the chords between the sections, and the rounding of corners, mm, at most."""
AT_ONCE = 20_000
MOST_LOOKED_AT_AGAIN = 400


def sections(body: Body) -> tuple[Array, Array, Array]:
    """Stations, half-widths, half-heights, mm; a flat face is two sections at one station, the ends are of size 0."""
    cuts = body.ends
    share = (1 - np.cos(np.pi * np.arange(PER_PIECE + 1) / PER_PIECE)) / 2
    begins, ends = (np.array(side) for side in zip(*body.runs, strict=True))
    parts: list[tuple[Array, Array, Array]] = []

    def nothing(at: float) -> tuple[Array, Array, Array]:
        return np.array([at]), np.zeros(1), np.zeros(1)

    for low, high in pairwise(cuts):
        if high - low < 1e-6:
            continue
        if np.abs(begins - low).min() < 1e-6:
            parts.append(nothing(low))
        at = low + (high - low) * share
        # The two sides of a wall are told apart from within.
        parts.append((at, *body.half_sizes(np.clip(at, low + 1e-8, high - 1e-8))))
        if np.abs(ends - high).min() < 1e-6:
            parts.append(nothing(high))
    station, half_width, half_height = (np.concatenate(part) for part in zip(*parts, strict=True))
    return station, half_width, half_height


def distances(body: Body, points: Array) -> Array:
    """Distance, mm, of each point (n, 3) from the surface of a straight strand along x."""
    surface = sections(body)
    parts = np.array_split(points, max(1, len(points) // AT_ONCE))
    # Beside a flat face the sections before and behind it have their own measures of a direction: both are tried.
    found = [_from_curves(part, *surface, beside) for part in parts for beside in (-BESIDE // 2, BESIDE // 2)]
    nearest = np.concatenate([np.minimum(*pair) for pair in zip(found[::2], found[1::2], strict=True)])
    return np.minimum(nearest, _from_faces(points, *surface))


def beyond(body: Body, points: Array, tolerance: float) -> Array:
    """The distances of those points that lie further than `tolerance` mm away; looked at again from near directions."""
    far = points[distances(body, points) > tolerance]
    far = far[:: 1 + len(far) // MOST_LOOKED_AT_AGAIN]
    surface = sections(body)
    nearest = np.full(len(far), np.inf)
    for beside in (-BESIDE // 2, BESIDE // 2) if len(far) else ():
        best, at_best = np.zeros(len(far)), np.full(len(far), np.inf)
        for width in (0.3, 0.01, 0.0004):
            middle = best
            for turn in np.linspace(-width, width, 41):
                found = _from_curves(far, *surface, beside, middle + turn)
                best = np.where(found < at_best, middle + turn, best)
                at_best = np.minimum(found, at_best)
        nearest = np.minimum(nearest, at_best)
    return nearest[nearest > tolerance]


def _from_curves(
    points: Array, station: Array, half_width: Array, half_height: Array, beside: int, turn: Array | float = 0.0
) -> Array:
    """By the curves that the points' directions, in the measure of a section a few beside them, draw along x."""
    last = len(station) - 1
    middle = np.searchsorted(station, points[:, 0])
    own = np.clip(middle + beside, 1, last - 1)  # an end of size 0 has no directions
    a, b = np.maximum(half_width[own], 1e-9), np.maximum(half_height[own], 1e-9)
    angle = np.arctan2(points[:, 2] / b, points[:, 1] / a) + turn
    window = middle[:, None] + np.arange(-BESIDE, BESIDE)[None, :]

    def curve(index: NDArray[np.int64]) -> Array:
        across = half_width[index] * np.cos(angle)[:, None]
        upward = half_height[index] * np.sin(angle)[:, None]
        return np.stack([station[index], across, upward], axis=2)

    begin, end = curve(np.clip(window, 0, last)), curve(np.clip(window + 1, 0, last))
    along = end - begin
    square = np.maximum((along * along).sum(axis=2), 1e-30)
    away = points[:, None, :] - begin
    share = np.clip((away * along).sum(axis=2) / square, 0.0, 1.0)
    missing = away - share[:, :, None] * along
    return np.asarray(np.sqrt((missing * missing).sum(axis=2)).min(axis=1))


def _from_faces(points: Array, station: Array, half_width: Array, half_height: Array) -> Array:
    """Distance from the flat faces (walls and flat ends): along x where the point stands over one, else to its rims."""
    found = np.full(len(points), np.inf)
    from_centre = np.hypot(points[:, 1], points[:, 2])
    for here in np.flatnonzero(np.diff(station) < 1e-9):
        beside = np.full(len(points), np.inf)
        within = []
        for i in (here, here + 1):
            share = _share(points, half_width[i], half_height[i])
            within.append(share <= 1)
            with np.errstate(divide="ignore", invalid="ignore"):
                beside = np.fmin(beside, from_centre * np.abs(1 - 1 / share))
        over = within[0] ^ within[1]  # within the section on one side alone
        found = np.minimum(found, np.hypot(points[:, 0] - station[here], np.where(over, 0.0, beside)))
    return found


def _share(points: Array, half_width: float, half_height: float) -> Array:
    """How far out each point lies, the rim of the section being 1; infinite where there is no section."""
    if half_width < 1e-9 or half_height < 1e-9:
        return np.full(len(points), np.inf)
    return np.asarray(np.hypot(points[:, 1] / half_width, points[:, 2] / half_height))
