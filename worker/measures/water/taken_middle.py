"""Where the middle lies of what hollows take out of a bait."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from worker.measures.strand.places import Box, boxes_of, filled_sections, outside_all, overlap
from worker.strands.strand import Strand

LOOKS, AROUND, RINGS = 8, 12, 2
"""Sections along a hollow, and places in each: only where the middle lies has to be right."""


def middle_taken(strands: Sequence[Strand], hollows: Sequence[Strand]) -> float:
    """x, mm, of the middle of what lies in any of the strands and in any of the hollows."""
    boxes = boxes_of((*strands, *hollows))
    volume, moment = 0.0, 0.0
    known: dict[object, tuple[float, float]] = {}
    for number, hollow in enumerate(hollows):
        # The cuts of a tube stand around it, each as far along it as the others.
        x = hollow.path.frames(np.array([0.0, hollow.path.length]))[0][:, 0]
        like = (hollow.kind, hollow.girth, hollow.section, *np.round(x, 6).tolist())
        if like not in known:
            known[like] = _part(number, strands, hollows, boxes)
        volume, moment = volume + known[like][0], moment + known[like][1]
    return moment / volume if volume else 0.0


def _part(
    number: int, strands: Sequence[Strand], hollows: Sequence[Strand], boxes: Mapping[str, Box]
) -> tuple[float, float]:
    """Volume of one hollow in the bait and outside of those before it, mm3, and its moment about x = 0, mm4."""
    hollow = hollows[number]
    begin, end = float(hollow.body.ends[0]), float(hollow.body.ends[-1])
    station = begin + (end - begin) * (np.arange(LOOKS) + 0.5) / LOOKS
    places, share = filled_sections(hollow, station, AROUND, RINGS)
    earlier = [each for each in hollows[:number] if overlap(boxes[each.name], boxes[hollow.name])]
    taken = ~outside_all(places, strands, boxes) & outside_all(places, earlier, boxes)
    size = share * (hollow.body.area(station) * (end - begin) / LOOKS)[:, None] * taken.reshape(share.shape)
    return float(size.sum()), float((size * places[:, 0].reshape(share.shape)).sum())
