"""Places in and on strands that lie in each other, and which of them lie in other strands: see union.py.

A few places of each section are asked, other ones at each station, spread so that all of them together are even
(additive recurrence by irrational steps: Weyl; the plastic number's for two of them, Roberts 2018, from memory). That
is what makes a dozen places a section enough. A strand is asked about everybody's places at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.columns import level_with, share_within
from worker.measures.strand.places import Box, Flags, evenly, places_in, within
from worker.strands.attach import nearly_outside
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import dot

CORNERS, WEDGES, RINGS, RIM = 48, 12, 1, 16
"""Corners of the polygon that stands for a section; places around it on each ring that fills it, and on its rim."""
ON_FACE = 1e-5
"""How far beside a strand's box places are still asked, mm: a face in common lies in the box's own."""
STEPS = (0.7548776662466927, 0.5698402909980532, 0.6180339887498949)
"""Irrational steps from station to station, of the angle and of the ring, and of the angle on the rim."""
BESIDE = 1e-6
"""What is so near to a strand's skin, as a share of its way from the path, lies in it where that strand comes first.

Where two strands have a face in common, as those of a flat belly have, the first one keeps it and it counts once; a
rounding would decide of places on it.
"""


@dataclass(frozen=True)
class Looked:
    """Sections of the strand `number` that touch the boxes of any strand near to it.

    `before`: the strands before it that are near. What each section stands for, (n,): volume mm3 and skin mm2.
    """

    number: int
    strand: Strand
    before: tuple[Strand, ...]
    station: Array
    frames: tuple[Array, Array, Array]
    sizes: tuple[Array, Array, Array]
    volume: Array
    skin: Array

    @property
    def level(self) -> bool:
        """Whether all strands before it are level with it: then what lies in them is told by columns."""
        return all(level_with(self.strand, other) for other in self.before)


@dataclass(frozen=True)
class Source:
    """Sections of a strand that come near to others: places in them and on their rims, and what each stands for.

    `inside` and `covered` tell of each place whether it lies in a strand before, and in any other. `lost` is the volume
    in strands before that is known without asking.
    """

    number: int
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


def sources_of(looked: Sequence[Looked]) -> list[Source]:
    """The source of each strand that was looked at; sections of one shape are taken together."""
    sources: dict[int, Source] = {}
    for section in dict.fromkeys(each.strand.section for each in looked):
        alike = [each for each in looked if each.strand.section == section]
        a, b, c = (np.concatenate(part) for part in zip(*(each.sizes for each in alike), strict=True))
        left, up = section.rim(a, b, c, CORNERS)
        row = np.concatenate([np.arange(len(each.station)) for each in alike])
        ends = np.cumsum([len(each.station) for each in alike])[:-1]
        counts, filled = [len(each.station) for each in alike], [not each.level for each in alike]
        rims, fills = (np.zeros((2, len(row), number)) for number in (RIM, WEDGES * RINGS))
        if len(row):
            aside, upward = _rims(left, up, row, cut=section.floor is not None)
            # Out from the polygon to the section itself: where two skins all but run together, neither lies in the
            # other.
            width, back, belly = (np.repeat(size, RIM) for size in (a, b, c))
            out = 1 + section.beyond(width, back, belly, aside.ravel(), upward.ravel()).reshape(aside.shape)
            out = np.maximum(out, 0.5)
            rims[:] = aside / out, upward / out
        if (full := np.repeat(filled, counts)).any():
            fills[:, full] = _filled(left[full], up[full], row[full])
        parts = (np.split(part, ends) for part in (*rims, *fills))
        for each, own, *sides in zip(alike, filled, *parts, strict=True):
            sources[each.number] = _source(each, sides, own=own)
    return [sources[each.number] for each in looked]


def _source(looked: Looked, sides: Sequence[Array], *, own: bool) -> Source:
    """The source of one strand; `own`: it has places of its own inside of its sections. `sides`: rim, then fill."""
    rim, fill = places_in(looked.frames, *sides[:2]), np.zeros((0, 3))
    lost, volume = 0.0, np.zeros(0)
    if own:
        fill = places_in(looked.frames, *sides[2:])
        volume = _stands_for(looked, looked.volume, *sides[2:])
    elif looked.before:
        lost = float((looked.volume * share_within(looked.strand, looked.station, looked.before)).sum())
    return Source(
        looked.number,
        fill,
        rim,
        volume,
        _stands_for(looked, looked.skin, *sides[:2]),
        lost,
        np.zeros(len(fill), dtype=bool),
        np.zeros(len(rim), dtype=bool),
    )


def _stands_for(looked: Looked, whole: Array, aside: Array, upward: Array) -> Array:
    """What each of a section's places, (n, k) to the left and to the back, stands for of its `whole`, (n,): (n k,).

    On the outside of a turn a place's way is longer than on the inside (Pappus): of two fins that turn apart, what lies
    on their parent's side is less than its share of the sections.
    """
    count = aside.shape[1]
    if looked.strand.path.straight:
        return np.repeat(whole * (1 / count), count)
    _, left, back = looked.frames
    bend = looked.strand.path.curvature(looked.station)
    way = 1 - dot(bend, left)[:, None] * aside - dot(bend, back)[:, None] * upward
    return np.asarray((whole[:, None] / way.sum(axis=1, keepdims=True) * way).ravel())


def _fraction(row: Array | NDArray[np.int64], step: float) -> Array:
    return np.asarray((row * step) % 1.0)


_THERE = np.roll(np.arange(CORNERS), -1)


def _filled(left: Array, up: Array, number: NDArray[np.int64]) -> tuple[Array, Array]:
    """Places in each section, the `number`-th of its strand, (n, WEDGES x RINGS) to the left and to the back."""
    row, number = np.arange(len(left))[:, None], number[:, None]
    area = np.abs(left * up[:, _THERE] - left[:, _THERE] * up)
    wedge = evenly(area, WEDGES, _fraction(number, STEPS[0]))
    middle = ((part[row, wedge] + part[row, _THERE[wedge]]) / 2 for part in (left, up))
    # A ring's places lie at the root of their share of the area, each wedge's a step further than the one before.
    first = _fraction(number + np.arange(WEDGES) * STEPS[2], STEPS[1])
    radius = np.sqrt((np.arange(RINGS)[None, None, :] + first[:, :, None]) / RINGS)
    aside, upward = ((part[:, :, None] * radius).reshape(len(left), WEDGES * RINGS) for part in middle)
    return aside, upward


def _rims(left: Array, up: Array, number: NDArray[np.int64], *, cut: bool) -> tuple[Array, Array]:
    """Places on each section's rim, evenly along it: (n, RIM) to the left and to the back; `cut`: it has a floor."""
    row = np.arange(len(left))[:, None]
    across, upward = left[:, _THERE] - left, up[:, _THERE] - up
    side = evenly(np.sqrt(across * across + upward * upward), RIM, _fraction(number[:, None], STEPS[2]))
    # A flat belly is two long sides: their middles alone would not tell how far it goes.
    on = _fraction(number[:, None] + np.arange(RIM) * STEPS[1], STEPS[0]) if cut else 0.5
    return left[row, side] + across[row, side] * on, up[row, side] + upward[row, side] * on


@dataclass(frozen=True)
class Asked:
    """The places of all sources, laid end to end, and which strands each may be asked of: a row a source and kind.

    `ends`, (k + 1,): where each row's places begin and end; `near`: numbers of the strands that it is asked of.
    """

    places: Array
    ends: NDArray[np.int64]
    near: list[set[int]]
    sources: Sequence[Source]

    @classmethod
    def of(cls, sources: Sequence[Source], strands: Sequence[Strand], near: Sequence[Sequence[Strand]]) -> Asked:
        """Rims are asked of every strand near to theirs, places inside of those before it."""
        numbers = {id(strand): number for number, strand in enumerate(strands)}
        places, allowed = [], []
        for source in sources:
            others = {numbers[id(other)] for other in near[source.number]}
            places += [source.rim, source.fill]
            allowed += [others, {other for other in others if other < source.number}]
        ends = np.cumsum([0, *(len(part) for part in places)])
        return cls(np.concatenate(places), ends, allowed, sources)

    def ask(self, strands: Sequence[Strand], boxes: Mapping[str, Box]) -> None:
        """Asks every strand about the places of all others at once, and raises their flags."""
        found = np.zeros(len(self.places), dtype=bool)
        owner = np.repeat([source.number for source in self.sources for _ in range(2)], np.diff(self.ends))
        spans = [slice(begin, end) for begin, end in pairwise(self.ends.tolist())]
        for number, strand in enumerate(strands):
            rows = [span for span, near in zip(spans, self.near, strict=True) if number in near]
            chosen = [np.arange(span.start, span.stop)[~found[span]] for span in rows if span.stop > span.start]
            if not chosen:
                continue
            which = np.concatenate(chosen)
            which = which[within(self.places[which], *boxes[strand.name], ON_FACE)]
            if len(which):
                first = np.where(number < owner[which], BESIDE, -BESIDE)
                found[which] = nearly_outside(strand, self.places[which], relief=True) < first
        flags = (part for source in self.sources for part in (source.covered, source.inside))
        for span, part in zip(spans, flags, strict=True):
            part[:] = found[span]
