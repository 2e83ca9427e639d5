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
    volume = skin = 0.0
    if not hollows:
        return volume, skin
    boxes = boxes_of((*strands, *hollows))
    for number, hollow in enumerate(hollows):
        # What two hollows share is taken out once; where one opens another there is no skin of either.
        earlier, others = hollows[:number], [*hollows[:number], *hollows[number + 1 :]]
        ends = hollow.body.ends
        cuts = ends[0] + (ends[-1] - ends[0]) * np.arange(PARTS + 1) / PARTS
        grid = hollow.body.grid(extra=cuts)
        share, walls = (
            _mean(~outside_all(each, strands, boxes) & outside_all(each, beside, boxes), weight)
            for (each, weight), beside in (
                (_filled(hollow, grid.station), earlier),
                (_rim(hollow, grid.station), others),
            )
        )
        volume += float((grid.weight * hollow.body.area(grid.station) * stretched(hollow, grid.station) * share).sum())
        skin += float((grid.weight * girdle(hollow.body, grid.station) * walls).sum())
        skin += _faces(hollow, strands, boxes)
    return volume, skin - _opened(hollows, strands, boxes)


def _faces(hollow: Strand, strands: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    """Area of a hollow's flat ends that lie inside the bait."""
    ends = np.array([hollow.body.ends[0], hollow.body.ends[-1]])
    filled, weight = _filled(hollow, ends)
    inside = _mean(~outside_all(filled, strands, boxes), weight)
    return float((hollow.body.area(ends) * inside).sum())


def _opened(hollows: Sequence[Strand], strands: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    """Skin of the bait that lies in a hollow and in no other strand."""
    lost = 0.0
    for strand in strands:
        others = [other for other in strands if other is not strand]
        grid = strand.body.grid()
        rim, weight = _rim(strand, grid.station)
        open_ = _mean(~outside_all(rim, hollows, boxes) & outside_all(rim, others, boxes), weight)
        lost += float((grid.weight * girdle(strand.body, grid.station) * open_).sum())
    return lost


def net_share(strand: Strand, station: Array, hollows: Sequence[Strand]) -> Array:
    """Share of a strand's section at each station that no hollow takes away."""
    if not hollows or len(station) == 0:
        return np.ones(len(station))
    filled, weight = _filled(strand, station)
    return _mean(outside_all(filled, hollows, boxes_of(hollows)), weight)


def _mean(which: NDArray[np.bool_], weight: Array) -> Array:
    """Share of each row of `weight`, (n, places), whose places are so."""
    return np.asarray((which.reshape(weight.shape) * weight).sum(axis=1) / np.maximum(weight.sum(axis=1), 1e-12))


def _filled(strand: Strand, station: Array) -> tuple[Array, Array]:
    """Places that fill each section, and what each stands for: a superellipse's points stand unevenly around it."""
    left, up = strand.section.rim(*strand.body.sizes(station), AROUND)
    next_left, next_up = np.roll(left, -1, axis=1), np.roll(up, -1, axis=1)
    radius = np.sqrt((np.arange(RINGS) + 0.5) / RINGS)[:, None]
    middle = ((left + next_left) / 2, (up + next_up) / 2)
    places = places_of(strand, station, *((part[:, None, :] * radius).reshape(len(station), -1) for part in middle))
    return places, np.tile(np.abs(left * next_up - next_left * up), RINGS)


def _rim(strand: Strand, station: Array) -> tuple[Array, Array]:
    """Places around each section, and what length of the rim each stands for."""
    left, up = strand.section.rim(*strand.body.sizes(station), AROUND)
    next_left, next_up = np.roll(left, -1, axis=1), np.roll(up, -1, axis=1)
    places = places_of(strand, station, (left + next_left) / 2, (up + next_up) / 2)
    return places, np.sqrt((next_left - left) ** 2 + (next_up - up) ** 2)
