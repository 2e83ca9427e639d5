"""Length, width and height of what hollows leave of a bait: a bore takes the very nose away, a cut a tip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from worker.measures.strand.outermost import outermost
from worker.measures.strand.places import Box, boxes_of, overlap
from worker.measures.strand.size import Size
from worker.strands.strand import Strand

REACHES = 1e-6
"""A hollow that comes as near as this, mm, to an end may take it away."""


def less_hollows(whole: Size, strands: Sequence[Strand], hollows: Sequence[Strand]) -> Size:
    """`whole` with the length, width and height of what the hollows leave; volume and surface as they are.

    A root's flare is not counted where its limb is taken away and it stays.
    """
    if not hollows:
        return whole
    left = [whole.length, whole.max_width, whole.max_height]
    boxes, holes = boxes_of(strands), boxes_of(hollows)
    for axis in range(3):
        for side in (0, 1):
            ends = {name: _end(box, axis, side) for name, box in boxes.items()}
            end = max(ends.values())
            if max(_end(box, axis, side) for box in holes.values()) > end - REACHES:
                falling = sorted(strands, key=lambda strand: -ends[strand.name])
                left[axis] -= max(end - _reach(falling, hollows, boxes, holes, axis, side), 0.0)
    return replace(whole, length=left[0], max_width=left[1], max_height=left[2])


def _end(box: Box, axis: int, side: int) -> float:
    """How far a box goes outwards along an axis, mm: to its least (0) or its greatest (1) side."""
    return (-1.0, 1.0)[side] * float(box[side][axis])


def _reach(
    strands: Sequence[Strand],
    hollows: Sequence[Strand],
    boxes: Mapping[str, Box],
    holes: Mapping[str, Box],
    axis: int,
    side: int,
) -> float:
    """How far what is left of the strands goes; those that stand by falling end are seldom all looked at."""
    most = -np.inf
    for strand in strands:
        box = boxes[strand.name]
        end = _end(box, axis, side)
        if end <= most:
            break
        near = [hollow for hollow in hollows if overlap(box, holes[hollow.name])]
        if all(_end(holes[hollow.name], axis, side) < end - REACHES for hollow in near):
            found: float | None = end
        else:
            found = outermost(strand, near, holes, axis, (-1.0, 1.0)[side], end)
        most = most if found is None else max(most, min(found, end))
    return most
