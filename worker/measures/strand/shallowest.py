"""What of a bait a mesh loses first: its shallowest relief, its smallest round, its thinnest place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.strands.fineness import SAG_SHARE
from worker.strands.outline import Outline
from worker.strands.strand import Strand

RAISED_SHARE = 0.5
"""A mesh may lie its tolerance inside of a crest and outside of a groove, and inside of both faces of what is thin:
from half the depth, or half the thickness, on the tolerance allows a mesh without either."""
ROUND_SHARE = (1 - math.sqrt(0.5)) / SAG_SHARE
"""A chord over a right angle of a round of radius r strays r (1 - cos 45 degrees) from it. Where a mesh's own chords
may stray as far, which is this share of r as a tolerance, the round is no more than a bevel."""
NONE_MM = 1e-6
"""Less than this is no relief."""


@dataclass(frozen=True)
class Shallow:
    """A place of `size` mm (depth, radius or thickness), `station` mm along a strand, and the coarsest tolerance, mm,
    that shows it. `what` says what it is, `size` left out: `a groove {} mm deep`."""

    size: float
    needs: float
    what: str
    strand: str
    station: float


def shallow_places(strands: Sequence[Strand]) -> Iterator[Shallow]:
    """The shallowest groove, the smallest round and the lowest collar of every strand that has any.

    The depth of a groove is that below the line from crest to crest. Strands with one body between them are one.
    """
    seen = set[int]()
    for strand in strands:
        if id(strand.body) in seen:
            continue
        seen.add(id(strand.body))
        for outline in strand.body.outlines:
            yield from _of_outline(outline, strand.name)
        for zone in strand.zones:
            if zone.raised > 0:
                middle = (zone.begin + zone.end) / 2
                yield Shallow(zone.raised, RAISED_SHARE * zone.raised, "a collar {} mm high", strand.name, middle)


def _of_outline(outline: Outline, name: str) -> Iterator[Shallow]:
    gaps = outline.gaps
    if len(gaps.station) == 0:
        return
    depth = np.interp(gaps.station, outline.crest_x, outline.crest_y) - gaps.height
    there = np.flatnonzero(depth > NONE_MM)
    if len(there) == 0:
        return
    least = int(there[depth[there].argmin()])
    size = float(depth[least])
    yield Shallow(size, RAISED_SHARE * size, "relief {} mm deep", name, float(gaps.station[least]))
    rounds = outline.blends[there]
    if bool((rounds > 0).any()):
        radius = float(rounds[rounds > 0].min())
        at = float(gaps.station[there[int(np.flatnonzero(rounds == radius)[0])]])
        yield Shallow(radius, ROUND_SHARE * radius, "a round of {} mm radius", name, at)
