"""Into how many pieces a strand falls: where its relief parts it, and where hollows do.

Without hollows its outline says so exactly. With them places spread over its sections are asked whether they are left,
and counted as they hang together: a cut thinner than a place is broad is not seen, nor a bridge.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from worker.measures.strand.places import Box, boxes_of, filled_sections, outside_all
from worker.strands.roots import Array
from worker.strands.strand import Strand

Flags = NDArray[np.bool_]

SECTIONS, AROUND, RINGS = 96, 24, 5
"""Sections along a strand, wedges around each and parts of one area in each wedge."""
LEAST = 0.01
"""A piece that is less of the strand than this is a sliver that the places only seem to leave."""


@lru_cache(maxsize=64)  # the same strands are asked for by several checks, and by every remedy in firmer plastic
def pieces_left(strand: Strand, hollows: tuple[Strand, ...]) -> int:
    """How many pieces there are of the strand, by itself and outside of its parent, less the hollows."""
    leaves = 0.0 if strand.root is None else strand.root.leaves
    runs = [(max(begin, leaves), end) for begin, end in strand.body.runs if end > leaves]
    boxes = boxes_of((strand, *hollows))
    near = [hollow for hollow in hollows if _meet(boxes[strand.name], boxes[hollow.name])]
    if not near:
        return len(runs)
    count = 0
    for begin, end in runs:
        station = begin + (end - begin) * (np.arange(SECTIONS) + 0.5) / SECTIONS
        thinnest = strand.body.thinnest
        station = np.union1d(station, thinnest[(thinnest > begin) & (thinnest < end)])
        places, share = filled_sections(strand, station, AROUND, RINGS)
        middles = strand.path.frames(station)[0]
        free = outside_all(places, near, boxes).reshape(len(station), RINGS, AROUND)
        of_middle = outside_all(middles, near, boxes)
        weight = share.reshape(free.shape) * strand.body.area(station)[:, None, None]
        count += _together(free, of_middle, weight)
    return count


def _meet(one: Box, other: Box) -> bool:
    return bool(((one[0] < other[1]) & (other[0] < one[1])).all())


def _together(free: Flags, of_middle: Flags, weight: Array) -> int:
    """Groups of places, (stations, rings, around), that hang together by neighbours; the middles of sections too."""
    number = np.arange(free.size).reshape(free.shape)
    middle = free.size + np.arange(len(of_middle))
    pairs = [
        (number[:-1], number[1:], free[:-1] & free[1:]),
        (number[:, :-1], number[:, 1:], free[:, :-1] & free[:, 1:]),
        (number, np.roll(number, 1, axis=2), free & np.roll(free, 1, axis=2)),
        (np.broadcast_to(middle[:, None], free[:, 0].shape), number[:, 0], free[:, 0] & of_middle[:, None]),
    ]
    one, two = (np.concatenate([pair[side][pair[2]].ravel() for pair in pairs]) for side in (0, 1))
    size = free.size + len(of_middle)
    _, group = connected_components(coo_array((np.ones(len(one)), (one, two)), shape=(size, size)), directed=False)
    sizes = np.bincount(group[: free.size], (weight * free).ravel(), minlength=int(group.max()) + 1)
    return int((sizes > LEAST * float(weight.sum())).sum())
