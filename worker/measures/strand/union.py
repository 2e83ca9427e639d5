"""Volume and skin of strands that lie in each other, by arithmetic: what lies in several of them counts once.

Of each strand is taken off what lies in the strands before it, and of its skin what lies in any other. A few places of
each section are asked, other ones at each station, spread so that all of them together are even (additive recurrence by
irrational steps: Weyl; the plastic number's for two of them, Roberts 2018, from memory). That is what makes a dozen
places a section enough. A strand is asked about everybody's places at once.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.columns import level_with, share_within
from worker.measures.strand.places import Box, Flags, evenly, overlap, places_in, within
from worker.measures.strand.size import girdle, stretched, volume_of, walls
from worker.strands.attach import inside
from worker.strands.path import HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand

STRETCH, MOST = 0.8, 160
"""Longest stretch of a strand's grid over its mean half-thickness, and how many there may be."""
CORNERS, WEDGES, RINGS, RIM = 48, 12, 1, 12
"""Corners of the polygon that stands for a section; places around it on each ring that fills it, and on its rim."""
STEPS = (0.7548776662466927, 0.5698402909980532, 0.6180339887498949)
"""Irrational steps from station to station, of the angle and of the ring, and of the angle on the rim."""
_ALONG = (np.arange(16) + 0.5) / 16
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(3)
_TURN = np.pi / 2 * _NODES
_BUNCHED = np.cos(_TURN) * _WEIGHTS / (np.cos(_TURN) * _WEIGHTS).sum()
"""Shares of a stretch that its stations stand for, bunched to its ends by a sine."""


def union_of(strands: Sequence[Strand], boxes: Mapping[str, Box]) -> tuple[float, float]:
    """Volume, mm3, and skin, mm2, of all strands together; flares are left out."""
    near = [[o for o in strands if o is not s and overlap(boxes[s.name], boxes[o.name])] for s in strands]
    first: dict[int, int] = {}
    stands_for = []
    for number, (strand, others) in enumerate(zip(strands, near, strict=True)):
        twin = first.get(id(strand.path.of)) if isinstance(strand.path, HandedPath) else None
        # A right limb counts as its left one does, unless a left one lies in it or beside it.
        own = twin is None or any(_is_left(other, strands) for other in others)
        stands_for.append(number if own or twin is None else twin)
        first.setdefault(id(strand.path), number)
    asked = sorted(set(stands_for))
    sources = {number: _source(number, strands, near[number], boxes) for number in asked}
    _ask(strands, sources, near, boxes)
    sums = {number: sources[number].less(*whole_of(strands[number])) for number in asked}
    volume, skin = (float(sum(sums[number][of] for number in stands_for)) for of in (0, 1))
    return volume, skin


def _is_left(strand: Strand, strands: Sequence[Strand]) -> bool:
    """Whether another strand is this one, handed."""
    return any(isinstance(other.path, HandedPath) and other.path.of is strand.path for other in strands)


def whole_of(strand: Strand) -> tuple[float, float]:
    """Volume and skin of a strand for itself."""
    grid = strand.body.grid()
    return volume_of(strand), float((grid.weight * girdle(strand.body, grid.station)).sum() + walls(strand.body).sum())


@dataclass(frozen=True)
class _Source:
    """Sections of a strand that come near to others: places in them and on their rims, and what each stands for.

    `inside` and `covered` tell of each place whether it lies in a strand before, and in any other. `lost` is the volume
    in strands before that is known without asking.
    """

    fill: Array
    rim: Array
    volume: Array
    skin: Array
    lost: float
    inside: Flags
    covered: Flags

    def less(self, volume: float, skin: float) -> tuple[float, float]:
        """Volume and skin of the strand without what lies in others."""
        return volume - self.lost - float(self.volume[self.inside].sum()), skin - float(self.skin[self.covered].sum())


def _source(number: int, strands: Sequence[Strand], near: Sequence[Strand], boxes: Mapping[str, Box]) -> _Source:
    """The source of one strand: of its sections that touch the boxes of any of those `near`."""
    strand = strands[number]
    body = strand.body
    station, weight, wall = _grid(strand)
    chosen = np.flatnonzero(_touches(strand, station, [boxes[other.name] for other in near]))
    station, weight, wall = station[chosen], weight[chosen], wall[chosen]
    sizes = body.sizes(station)
    left, up = body.section.rim(*sizes, CORNERS)
    volume = weight * body.section.area(*sizes) * stretched(strand, station)
    rim, side = _rims(left, up)
    before = [other for other in strands[:number] if any(other is each for each in near)]
    lost, nothing = 0.0, np.zeros((len(station), 0))
    if all(level_with(strand, other) for other in before):
        fill, share = (nothing, nothing), nothing
        if before:
            lost = float((volume * share_within(strand, station, before)).sum())
    else:
        fill, share = _filled(left, up)
    frames = strand.path.frames(station)
    fill_places, rim_places = (places_in(frames, *sides) for sides in (fill, rim))
    return _Source(
        fill_places,
        rim_places,
        (volume[:, None] * share).ravel(),
        ((weight * girdle(body, station) + wall)[:, None] * side).ravel(),
        lost,
        np.zeros(len(fill_places), dtype=bool),
        np.zeros(len(rim_places), dtype=bool),
    )


def _grid(strand: Strand) -> tuple[Array, Array, Array]:
    """Stations, weights, and the walls that stand there: three stations on every stretch between ends of pieces."""
    body = strand.body
    begin, end = float(body.ends[0]), float(body.ends[-1])
    around = begin + (end - begin) * _ALONG
    thick = float(np.minimum(*body.half_sizes(around)).mean())
    count = min(math.ceil((end - begin) / (STRETCH * thick)), MOST)
    cuts = np.unique(np.concatenate([body.ends, begin + (end - begin) * np.arange(1, count) / count]))
    length = np.diff(cuts)[:, None]
    station = ((cuts[:-1] + cuts[1:])[:, None] / 2 + length / 2 * np.sin(_TURN)).ravel()
    weight = (length * _BUNCHED).ravel()
    upright = walls(body)
    stands = np.flatnonzero(upright > 1e-9)
    return (
        np.concatenate([station, body.ends[stands]]),
        np.concatenate([weight, np.zeros(len(stands))]),
        np.concatenate([np.zeros(len(station)), upright[stands]]),
    )


def _touches(strand: Strand, station: Array, boxes: Sequence[Box]) -> Flags:
    """Whether the ball that goes around any of the strand's sections reaches into a box from each."""
    points = strand.path.frames(station)[0]
    sizes = (outline.crest_y.max() for outline in (strand.body.side, strand.body.back, strand.body.lower))
    width, back, belly = (float(size) for size in sizes)
    reach = math.hypot(width, max(back, belly))
    touches = np.zeros(len(station), dtype=bool)
    for low, high in boxes:
        touches |= within(points, low, high, reach)
    return touches


def _fraction(row: Array | NDArray[np.int64], step: float) -> Array:
    return np.asarray((row * step) % 1.0)


def _filled(left: Array, up: Array) -> tuple[tuple[Array, Array], Array]:
    """Places in each section, (n, WEDGES x RINGS) to the left and to the back, and each one's share of the area."""
    row = np.arange(len(left))[:, None]
    there = np.roll(np.arange(CORNERS), -1)
    area = np.abs(left * up[:, there] - left[:, there] * up)
    wedge = evenly(area, WEDGES, _fraction(row, STEPS[0]))
    middle = ((part[row, wedge] + part[row, there[wedge]]) / 2 for part in (left, up))
    # A ring's places lie at the root of their share of the area, each wedge's a step further than the one before.
    first = _fraction(row + np.arange(WEDGES) * STEPS[2], STEPS[1])
    radius = np.sqrt((np.arange(RINGS)[None, None, :] + first[:, :, None]) / RINGS)
    aside, upward = ((part[:, :, None] * radius).reshape(len(left), WEDGES * RINGS) for part in middle)
    return (aside, upward), np.full(aside.shape, 1 / (WEDGES * RINGS))


def _rims(left: Array, up: Array) -> tuple[tuple[Array, Array], Array]:
    """Places on each section's rim, (n, RIM), and each one's share of its length."""
    row = np.arange(len(left))[:, None]
    there = np.roll(np.arange(CORNERS), -1)
    across, upward = left[:, there] - left, up[:, there] - up
    side = evenly(np.sqrt(across * across + upward * upward), RIM, _fraction(row, STEPS[2]))
    middle = (left[row, side] + across[row, side] / 2, up[row, side] + upward[row, side] / 2)
    return middle, np.full(side.shape, 1 / RIM)


def _ask(
    strands: Sequence[Strand],
    sources: Mapping[int, _Source],
    near: Sequence[Sequence[Strand]],
    boxes: Mapping[str, Box],
) -> None:
    """Asks every strand about the places of all others at once."""
    for number, strand in enumerate(strands):
        low, high = boxes[strand.name]
        asked: list[tuple[Flags, NDArray[np.int64], Array]] = []
        for of, source in sources.items():
            if not any(other is strand for other in near[of]):
                continue
            kinds = [(source.covered, source.rim)]
            if of > number:
                kinds.append((source.inside, source.fill))
            for flags, places in kinds:
                chosen = np.flatnonzero(within(places, low, high) & ~flags)
                if len(chosen):
                    asked.append((flags, chosen, places[chosen]))
        if not asked:
            continue
        lies_in = inside(strand, np.concatenate([places for _, _, places in asked]))
        ends = np.cumsum([len(chosen) for _, chosen, _ in asked])
        for (flags, chosen, _), answer in zip(asked, np.split(lies_in, ends[:-1]), strict=True):
            flags[chosen] = answer
