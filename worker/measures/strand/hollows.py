"""What hollows take away from a bait, by arithmetic: volume, skin, and the net area of its joints."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.size import girdle, stretched
from worker.measures.strand.whole import Box, boxes_of, outside_all, places_of
from worker.strands.roots import Array
from worker.strands.strand import Strand

AROUND, RINGS = 32, 6
"""Places around a section and rings of one area each that are asked whether they lie in the bait, or in a hollow."""
PARTS = 6
"""Into how many stretches a hollow is cut for its integrals: it may leave the bait half way along."""


def taken_out(hollows: Sequence[Strand], strands: Sequence[Strand]) -> tuple[float, float]:
    """Volume, mm3, that the hollows take away, and by how much the skin grows, mm2 (less where they open it)."""
    boxes = boxes_of((*strands, *hollows))
    volume = skin = 0.0
    for number, hollow in enumerate(hollows):
        earlier = hollows[:number]
        ends = hollow.body.ends
        cuts = ends[0] + (ends[-1] - ends[0]) * np.arange(PARTS + 1) / PARTS
        grid = hollow.body.grid(extra=cuts)
        filled, rim = _filled(hollow, grid.station), _rim(hollow, grid.station)
        share, walls = (
            _mean(~outside_all(each, strands, boxes) & outside_all(each, earlier, boxes), len(grid.station))
            for each in (filled, rim)
        )
        volume += float((grid.weight * hollow.body.area(grid.station) * stretched(hollow, grid.station) * share).sum())
        skin += float((grid.weight * girdle(hollow.body, grid.station) * walls).sum())
        skin += _faces(hollow, strands, boxes)
    return volume, skin - _opened(hollows, strands, boxes)


def _faces(hollow: Strand, strands: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    """Area of a hollow's flat ends that lie inside the bait."""
    ends = np.array([hollow.body.ends[0], hollow.body.ends[-1]])
    inside = _mean(~outside_all(_filled(hollow, ends), strands, boxes), 2)
    return float((hollow.body.area(ends) * inside).sum())


def _opened(hollows: Sequence[Strand], strands: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    """Skin of the bait that lies in a hollow and in no other strand."""
    lost = 0.0
    for strand in strands:
        others = [other for other in strands if other is not strand]
        grid = strand.body.grid()
        rim = _rim(strand, grid.station)
        open_ = _mean(~outside_all(rim, hollows, boxes) & outside_all(rim, others, boxes), len(grid.station))
        lost += float((grid.weight * girdle(strand.body, grid.station) * open_).sum())
    return lost


def net_share(strand: Strand, station: Array, hollows: Sequence[Strand]) -> Array:
    """Share of a strand's section at each station that no hollow takes away."""
    if not hollows or len(station) == 0:
        return np.ones(len(station))
    free = outside_all(_filled(strand, station), hollows, boxes_of(hollows))
    return _mean(free, len(station))


def _mean(which: NDArray[np.bool_], rows: int) -> Array:
    return np.asarray(which.reshape(rows, -1).mean(axis=1))


def _filled(strand: Strand, station: Array) -> Array:
    left, up = strand.section.rim(*strand.body.sizes(station), AROUND)
    radius = np.sqrt((np.arange(RINGS) + 0.5) / RINGS)[:, None]
    return places_of(strand, station, *((part[:, None, :] * radius).reshape(len(station), -1) for part in (left, up)))


def _rim(strand: Strand, station: Array) -> Array:
    left, up = strand.section.rim(*strand.body.sizes(station), AROUND)
    return places_of(strand, station, left, up)
