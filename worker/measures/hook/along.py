"""Places along a trunk from its nose: along the path of one strand, along x of several."""

from __future__ import annotations

import numpy as np

from worker.measures.strand.bending import hold_station
from worker.measures.strand.trunk_section import station_at
from worker.strands.roots import Array
from worker.strands.strand import Strand

Trunk = tuple[Strand, ...]


def trunk_length(trunk: Trunk) -> float:
    """mm that a trunk runs from its nose: along its path, of several strands along x."""
    if len(trunk) == 1:
        return trunk[0].path.length
    return max(float(s.path.frames(np.array([0.0, s.path.length]))[0][:, 0].max()) for s in trunk)


def held_at_nose(trunk: Trunk) -> float:
    """Where a trunk without a rig is held, mm as its stations are counted; not behind its middle.

    Of several strands that is by x, on which what reaches ahead of the trunk's own nose, a fan, comes first.
    """
    begin = 0.0
    if len(trunk) > 1:
        begin = max(0.0, float(trunk[0].path.frames(np.array([0.0]))[0][0, 0]))
    return min(begin + hold_station(trunk[0].body), (begin + trunk_length(trunk)) / 2)


def place_along(trunk: Trunk, station: float) -> tuple[Array, Array]:
    """The point of the trunk's path `station` mm from the nose, and the direction to the back there; (3,) each."""
    first = trunk[0]
    at = np.array([station])
    if len(trunk) > 1:
        at = station_at(first, at)
    within = np.clip(at, 0.0, first.path.length)
    points, _, back = first.path.frames(within)
    # Ahead of the nose and behind the tail the line goes on along x.
    ahead = station - float(points[0, 0] if len(trunk) > 1 else within[0])
    return points[0] + np.array([ahead, 0.0, 0.0]), back[0]
