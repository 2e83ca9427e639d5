"""What hollows take away from a bait, by arithmetic: volume, skin, and the net area of its joints."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.joints import Joints
from worker.measures.strand.places import Box, boxes_of, even_rims, filled_sections, outside_all, overlap, touches
from worker.measures.strand.size import girdle, stretched, volume_of
from worker.measures.strand.trunk_section import station_at
from worker.strands.roots import Array
from worker.strands.strand import Strand

Flags = NDArray[np.bool_]

AROUND, RINGS = 32, 8
"""Places around a section and rings of one area each that are asked whether they lie in the bait, or in a hollow."""
CORNERS, ALONG_RIM = 128, 48
"""Corners of the polygon that stands for a rim, and places evenly along it: a slot's rim is mostly two sides."""
PARTS = 6
"""Into how many stretches a hollow is cut for its integrals: it may leave the bait half way along."""

MUCH, BESIDE = 0.03, 0.5
"""Where hollows take more than this share of the bait, and less than that share of them lies in it, what they take is
told from the strands: of a hollow far wider than the bait few places lie in it, and little is left."""
FINER, MORE_RINGS = 2, 24
"""How many times as many stretches a strand is cut into then, and how many rings there are in a section."""


def taken_out(hollows: Sequence[Strand], strands: Sequence[Strand]) -> tuple[float, float]:
    """Volume, mm3, that the hollows take away, and by how much the skin grows, mm2 (less where they open it)."""
    if not hollows:
        return 0.0, 0.0
    boxes = boxes_of((*strands, *hollows))
    taken = [_taken(number, hollows, strands, boxes) for number in range(len(hollows))]
    volume, skin = (float(sum(part)) for part in zip(*taken, strict=True))
    if volume > MUCH * sum(map(volume_of, strands)) and volume < BESIDE * sum(map(volume_of, hollows)):
        volume = sum(_lost(number, strands, hollows, boxes) for number in range(len(strands)))
    return volume, skin - _opened(hollows, strands, boxes)


def _lost(number: int, strands: Sequence[Strand], hollows: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    """Volume of a strand, mm3, that lies in a hollow and in no strand before it."""
    strand, earlier = strands[number], strands[:number]
    near = [hollow for hollow in hollows if overlap(boxes[strand.name], boxes[hollow.name])]
    if not near:
        return 0.0

    def lost(at: Array) -> Flags:
        return np.asarray(~outside_all(at, near, boxes) & outside_all(at, earlier, boxes))

    body, ends = strand.body, strand.body.ends
    grid = body.grid(extra=ends[0] + (ends[-1] - ends[0]) * np.arange(FINER * PARTS + 1) / (FINER * PARTS))
    volume = grid.weight * body.area(grid.station) * stretched(strand, grid.station)
    return float((volume * _share(strand, grid.station, lost, MORE_RINGS)).sum())


def _taken(
    number: int, hollows: Sequence[Strand], strands: Sequence[Strand], boxes: Mapping[str, Box]
) -> tuple[float, float]:
    """Volume of one hollow inside the bait and outside of the hollows before it; its walls outside of all others."""
    hollow, earlier, others = hollows[number], hollows[:number], [*hollows[:number], *hollows[number + 1 :]]

    def inside(at: Array) -> Flags:
        return np.asarray(~outside_all(at, strands, boxes) & outside_all(at, earlier, boxes))

    def walled(at: Array) -> Flags:
        return np.asarray(~outside_all(at, strands, boxes) & outside_all(at, others, boxes))

    body, ends = hollow.body, hollow.body.ends
    grid = body.grid(extra=ends[0] + (ends[-1] - ends[0]) * np.arange(PARTS + 1) / PARTS)
    volume = grid.weight * body.area(grid.station) * stretched(hollow, grid.station)
    walls = grid.weight * girdle(body, grid.station)
    faces = ends[[0, -1]]
    return (
        float((volume * _share(hollow, grid.station, inside)).sum()),
        float((walls * _rim_share(hollow, grid.station, walled)).sum())
        + float((body.area(faces) * _share(hollow, faces, inside)).sum()),
    )


def _opened(hollows: Sequence[Strand], strands: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    """Skin of the bait that lies in a hollow and in no other strand."""
    lost = 0.0
    for strand in strands:
        others = [other for other in strands if other is not strand]
        ends = strand.body.ends
        near = [hollow for hollow in hollows if overlap(boxes[strand.name], boxes[hollow.name])]
        if not near:
            continue
        grid = strand.body.grid(extra=ends[0] + (ends[-1] - ends[0]) * np.arange(4 * PARTS + 1) / (4 * PARTS))
        middles = strand.path.frames(grid.station)[0]
        looked = np.flatnonzero(touches(strand, middles, [boxes[hollow.name] for hollow in near]))
        if len(looked) == 0:
            continue
        open_ = np.zeros(len(middles))
        open_[looked] = _rim_share(strand, grid.station[looked], _Opened(near, others, boxes).holds, looked)
        lost += float((grid.weight * girdle(strand.body, grid.station) * open_).sum())
    return lost


@dataclass(frozen=True)
class _Opened:
    """Whether each place of a strand's skin lies in a hollow and in none of the `others`."""

    hollows: Sequence[Strand]
    others: Sequence[Strand]
    boxes: Mapping[str, Box]

    def holds(self, at: Array) -> Flags:
        in_hollow = ~outside_all(at, self.hollows, self.boxes)
        if in_hollow.any():
            in_hollow[in_hollow] = outside_all(at[in_hollow], self.others, self.boxes)
        return in_hollow


def net_share(strand: Strand, station: Array, hollows: Sequence[Strand]) -> Array:
    """Share of a strand's section at each station that no hollow takes away."""
    if not hollows or len(station) == 0:
        return np.ones(len(station))
    boxes = boxes_of(hollows)
    return _share(strand, station, lambda at: outside_all(at, hollows, boxes))


def _share(strand: Strand, station: Array, holds: Callable[[Array], Flags], rings: int = RINGS) -> Array:
    """Share of the section at each station that lies where `holds` is true of places (n, 3)."""
    filled, weight = filled_sections(strand, station, AROUND, rings)
    return np.asarray((holds(filled).reshape(weight.shape) * weight).sum(axis=1))


def _rim_share(
    strand: Strand, station: Array, holds: Callable[[Array], Flags], number: NDArray[np.int64] | None = None
) -> Array:
    """The same of the section's rim; `number` as even_rims has it."""
    rim = even_rims(strand, station, CORNERS, ALONG_RIM, number)
    return np.asarray(holds(rim).reshape(len(station), ALONG_RIM).mean(axis=1))


def net_trunk_share(trunk: Sequence[Strand], joints: Joints, hollows: Sequence[Strand]) -> Array:
    """The same of each joint of a trunk of several strands: a hollow is taken to lie in one of them at each place."""
    lost = np.zeros(len(joints))
    if not hollows:
        return 1 - lost
    for strand in trunk:
        at = station_at(strand, joints.station)
        there = np.flatnonzero((at > 0) & (at < strand.path.length))
        taken = strand.body.area(at[there]) * (1 - net_share(strand, at[there], hollows))
        lost[there] = np.maximum(lost[there], taken)
    return np.asarray(np.maximum(1 - lost / np.maximum(joints.area, 1e-12), 0.0))
