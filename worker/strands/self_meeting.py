"""Paths whose far stretches come so near that what goes along them would run into itself: a curl of over a turn."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.strands.roots import Array
from worker.strands.section import Section
from worker.strands.strand import Strand
from worker.strands.turning import Looks, looks_along
from worker.strands.vectors import cross, dot, norm

FEWEST, MOST = 48, 320
"""Stations that are looked at, each against every other."""
CLOSE = 1.0
"""Greatest distance from one to the next over the strand's mean half-thickness, up to MOST of them."""
DETOUR = 1.5
"""A path has come back where it is longer than so many times the straight way: on an arc, after half a turn."""
ROOM = 1.03
"""Least distance of two sections' middles over their reaches to each other. Below turning.ROOM, so that a turn that is
taken there is no meeting here."""


@dataclass(frozen=True)
class Meeting:
    """The two stations, mm, `station` the one nearer to the root, whose sections lie deepest in each other.

    `apart` is the distance of their middles and `needed` the one that would do, mm.
    """

    station: float
    other: float
    apart: float
    needed: float


@lru_cache(maxsize=64)  # asked before a bait is taken, and by its tests
def runs_into_itself(strand: Strand) -> Meeting | None:
    """Where a strand runs into itself; None where it does not.

    Two flat sections have no point in common where a plane square to the line between their middles parts them: where
    the middles lie further apart than the two reach along that line. On an arc of radius R that is the same question as
    whether the section reaches past the middle of the turn, for both lengths shrink with the sine of half the angle
    between them; so this sees folds that turning.py sees, and bulges right before and behind a turn besides.
    """
    if strand.path.straight:
        return None
    looks = looks_along(strand)
    if _runs_ahead(strand, looks):
        return None
    thick = float(np.minimum(looks.half_width, looks.half_height).mean())
    count = min(max(FEWEST, int(strand.path.length / (CLOSE * thick)) + 1), MOST)
    station = strand.path.length * (np.arange(count) + 0.5) / count
    points, left, back = strand.path.frames(station)
    sizes = strand.body.sizes(station)
    half_width, half_height = strand.body.half_sizes(station)
    way = points[None, :, :] - points[:, None, :]
    # A stretch that has come back stands for all between it and the next: it is as near as its nearest section.
    back_again = DETOUR * norm(way) < np.abs(station[None, :] - station[:, None])
    tangents = cross(left, back)[:, None, :]
    along = dot(way, tangents)
    step = strand.path.length / count
    way -= np.where(back_again, np.minimum(np.maximum(along, -step), step), 0.0)[:, :, None] * tangents
    apart = norm(way)
    reach = _reaches(strand.section, sizes, way / np.maximum(apart, 1e-9)[:, :, None], left, back)
    # Where a path lies in itself the line between two middles has no direction: then their inscribed circles tell.
    reach = np.maximum(reach, np.where(back_again, np.minimum(half_width, half_height)[:, None], 0.0))
    needed = ROOM * (reach + reach.T)
    short = np.triu(needed - apart, 2)
    one, two = (int(index) for index in np.unravel_index(int(short.argmax()), short.shape))
    if short[one, two] <= 0:
        return None
    return Meeting(float(station[one]), float(station[two]), float(apart[one, two]), float(needed[one, two]))


def _runs_ahead(strand: Strand, looks: Looks) -> bool:
    """Whether the path never turns back and never turns tightly for the strand's greatest reach: nothing can meet.

    Sections further apart than their reaches back and ahead lie in order along the line from root to tip; nearer ones
    are told by the turn between them, as in turning.py.
    """
    chord = looks.points[-1:] - looks.points[:1]
    ahead = bool((dot(looks.tangents, chord) > 0).all())
    a, b, c = strand.body.sizes(looks.station)
    upward = np.maximum(b, c)
    # No section reaches past the corner of the box around it, an ellipse no further than its longer half axis.
    reach = float((np.maximum(a, upward) if strand.section.elliptic else np.sqrt(a * a + upward * upward)).max())
    return ahead and reach * float(norm(looks.bend).max()) * ROOM < 1


def _reaches(section: Section, sizes: tuple[Array, Array, Array], way: Array, left: Array, back: Array) -> Array:
    """How far the section of each row reaches along `way`, unit vectors (n, n, 3): (n, n), mm."""
    count = len(left)
    across, upward = (dot(way, side[:, None, :]).ravel() for side in (left, back))
    a, b, c = (np.repeat(size, count) for size in sizes)
    return section.reach(a, b, c, across, upward).reshape(count, count)
