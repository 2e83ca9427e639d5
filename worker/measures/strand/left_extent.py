"""Length, width and height of what hollows leave of a bait: a bore takes the very nose away, a cut a tip."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from worker.measures.strand.places import Box, boxes_of, outside_all, places_in
from worker.measures.strand.size import Size
from worker.strands.roots import Array
from worker.strands.strand import Strand

STATIONS, AROUND = 64, 64
"""Sections of the first look along a strand, and corners of each."""
CLOSER, CLOSER_AROUND, LOOKS = 17, 384, 3
"""Sections of each closer look between the two beside the outermost place, corners of each, and how many looks."""
CHUNK = 192
"""Places asked about at once, from the outermost inwards."""
REACHES = 1e-6
"""A hollow that comes as near as this, mm, to an end of the bait may take it away."""


def left_of(whole: Size, strands: Sequence[Strand], hollows: Sequence[Strand]) -> Size:
    """`whole` with the length, width and height of what the hollows leave; volume and surface as they are."""
    if not hollows:
        return whole
    left = [whole.length, whole.max_width, whole.max_height]
    boxes, holes = boxes_of(strands), boxes_of(hollows)
    low, high = (np.stack(corners) for corners in zip(*boxes.values(), strict=True))
    ends = np.stack([low.min(axis=0), high.max(axis=0)])
    for axis in range(3):
        for side in (0, 1):
            outward = (-1.0, 1.0)[side]
            end = outward * float(ends[side, axis])
            near = [h for h in hollows if outward * holes[h.name][side][axis] > end - REACHES]
            if near:
                reach = max(outward * boxes[s.name][side][axis] for s in strands)
                found = max(_reach(s, near, axis, outward) for s in strands if _may(s, boxes, axis, side, reach))
                left[axis] -= max(end - found, 0.0)
    return replace(whole, length=left[0], max_width=left[1], max_height=left[2])


def _may(strand: Strand, boxes: dict[str, Box], axis: int, side: int, reach: float) -> bool:
    """Whether the strand comes near enough to the bait's end to be the outermost one once that is taken away."""
    low, high = boxes[strand.name]
    thick = float((high - low).min())
    return bool((-1.0, 1.0)[side] * boxes[strand.name][side][axis] > reach - max(thick, 1.0))


def _reach(strand: Strand, hollows: Sequence[Strand], axis: int, outward: float) -> float:
    """How far the strand's skin goes that no hollow opens; minus infinity where nothing is left of it."""
    begin, end = float(strand.body.ends[0]), float(strand.body.ends[-1])
    # Bunched to both ends, where rounded tips turn fast.
    stations = np.unique(
        np.concatenate(
            [begin + (end - begin) * (1 - np.cos(np.pi * np.arange(STATIONS + 1) / STATIONS)) / 2, strand.body.ends]
        )
    )
    boxes = boxes_of(hollows)
    most = -np.inf
    for look in range(1 + LOOKS):
        around = AROUND if look == 0 else CLOSER_AROUND
        sides = strand.section.rim(*strand.body.sizes(stations), around)
        frames = strand.path.frames(stations)
        # Where places lie along the one axis tells which to ask; few of them are asked.
        point, left, back = (part[:, axis][:, None] for part in frames)
        along = (outward * (point + sides[0] * left + sides[1] * back)).ravel()
        best = _first_free(frames, sides, along, hollows, boxes)
        if best is None:
            break
        most = max(most, float(along[best]))
        row = best // around
        low, high = stations[max(row - 1, 0)], stations[min(row + 1, len(stations) - 1)]
        stations = low + (high - low) * np.arange(CLOSER) / (CLOSER - 1)
    return most


def _first_free(
    frames: tuple[Array, Array, Array],
    sides: tuple[Array, Array],
    along: Array,
    hollows: Sequence[Strand],
    boxes: dict[str, Box],
) -> int | None:
    """Which of the places at `sides` of sections is the furthest `along` that lies in no hollow."""
    order = np.argsort(-along, kind="stable")
    around = sides[0].shape[1]
    for first in range(0, len(order), CHUNK):
        chunk = order[first : first + CHUNK]
        row, column = chunk // around, chunk % around
        places = places_in(tuple(part[row] for part in frames), *(side[row, column][:, None] for side in sides))
        free = outside_all(places, hollows, boxes)
        if free.any():
            return int(chunk[int(free.argmax())])
    return None
