"""Volume and skin of strands that lie in each other, by arithmetic: what lies in several of them counts once.

Of each strand is taken off what lies in the strands before it, and of its skin what lies in any other: union_places.py
asks about a few places of each section.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from worker.measures.strand.places import Box, overlap, touches
from worker.measures.strand.size import Sizes, volumes_and_skins, walls
from worker.measures.strand.union_places import Asked, Looked, sources_of
from worker.strands.many import Many, at_rows, spans_of
from worker.strands.path import HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand

STRETCH, MOST = 0.8, 160
"""Longest stretch of a strand's grid over its mean half-thickness, and how many there may be."""
LESS, LEAST = 2.0, 5
"""By how much a strand's stretches may be longer that is a small part of the bait, and how few there may be then."""
SMALL = 0.02
"""Share of all strands' volume, or of their skin, up to which a strand is small: its stretches are `LESS` times as
long. Those of a larger one are longer by the root of `SMALL` over its share, so that all are told about as well."""
LARGE = 4 * SMALL
"""Share from which on a strand's stretches are shorter, by its share: a few thick limbs in a slender trunk are most of
a bait, and what they have in common with it was told 1 % wrong."""
_UP = np.repeat((np.arange(4) + 0.5) / 4, 2) * np.tile([-1.0, 1.0], 4)
"""Places on a wall, from its lower edge up; below 0: a hair nearer to the root than it, else a hair further.

Half of a wall that falls together with another strand's is then covered, and half of the other's: it counts once.
"""
AWAY = 1e-5
"""How far beside a wall it is asked what covers it, mm."""
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
    many = Many(tuple(strands[number] for number in asked))
    upright = [walls(strand.body) for strand in many.strands]
    wholes = _wholes(many, upright)
    sources = sources_of(_looked(many, upright, _longer(many.strands, wholes), asked, strands, near, boxes))
    Asked.of(sources, strands, near).ask(strands, boxes)
    sums = {source.number: source.less(*whole) for source, whole in zip(sources, wholes, strict=True)}
    volume, skin = (float(sum(sums[number][of] for number in stands_for)) for of in (0, 1))
    return volume, skin


def _longer(strands: Sequence[Strand], wholes: Sequence[tuple[float, float]]) -> list[float]:
    """By how much each strand's stretches are longer, by its share of all strands' volume and skin."""
    volume, skin = (max(sum(part), 1e-12) for part in zip(*wholes, strict=True))
    found = []
    for strand, (own, bare) in zip(strands, wholes, strict=True):
        share = max(own / volume, bare / skin, 1e-12)
        longer = min(LESS * math.sqrt(SMALL / share), LESS)
        # What strands of the trunk have in common is told by columns, and limbs lie in them and not they in limbs.
        found.append(max(longer, 1.0) if strand.root is None else longer if share < LARGE else LARGE / share)
    return found


def _is_left(strand: Strand, strands: Sequence[Strand]) -> bool:
    """Whether another strand is this one, handed."""
    return any(isinstance(other.path, HandedPath) and other.path.of is strand.path for other in strands)


def whole_of(strand: Strand) -> tuple[float, float]:
    """Volume and skin of a strand for itself."""
    return _wholes(Many((strand,)), [walls(strand.body)])[0]


def _wholes(many: Many, upright: Sequence[Array]) -> list[tuple[float, float]]:
    """The same of many strands with these walls."""
    grids = [strand.body.grid() for strand in many.strands]
    station, weight = (np.concatenate(part) for part in zip(*((g.station, g.weight) for g in grids), strict=True))
    counts = [len(grid.station) for grid in grids]
    area, skin = volumes_and_skins(many, station, counts, many.sizes(station, counts))
    volume, skin = weight * area, weight * skin
    return [
        (float(volume[span].sum()), float(skin[span].sum() + wall.sum()))
        for span, wall in zip(spans_of(counts), upright, strict=True)
    ]


def _looked(
    many: Many,
    upright: Sequence[Array],
    longer: Sequence[float],
    numbers: Sequence[int],
    strands: Sequence[Strand],
    near: Sequence[Sequence[Strand]],
    boxes: Mapping[str, Box],
) -> list[Looked]:
    """The sections of all strands that are asked about, together: `many` are those of these `numbers`."""
    grids = _grids(many, upright, longer)
    counts = [len(station) for station, *_ in grids]
    frames = many.frames(np.concatenate([station + AWAY * np.sign(up) for station, *_, up in grids]), counts)
    chosen = [
        np.flatnonzero(touches(strand, frames[0][span], [boxes[other.name] for other in near[number]]))
        for strand, number, span in zip(many.strands, numbers, spans_of(counts), strict=True)
    ]
    station, weight, wall, up = (
        np.concatenate([grid[part][which] for grid, which in zip(grids, chosen, strict=True)]) for part in range(4)
    )
    rows = np.concatenate([span.start + which for span, which in zip(spans_of(counts), chosen, strict=True)])
    counts, frames = [len(which) for which in chosen], at_rows(frames, rows)
    sizes = many.sizes(station, counts)
    area, girdles = volumes_and_skins(many, station, counts, sizes)
    volume, skin = weight * area, weight * girdles + wall
    for strand, span in zip(many.strands, spans_of(counts), strict=True):
        if len(walled := span.start + np.flatnonzero(wall[span])):
            for size, on_wall in zip(sizes, _on_walls(strand, station[walled], np.abs(up[walled])), strict=True):
                size[walled] = on_wall
    return [
        Looked(
            number,
            strand,
            tuple(other for other in strands[:number] if any(other is each for each in near[number])),
            station[span],
            at_rows(frames, span),
            at_rows(sizes, span),
            volume[span],
            skin[span],
        )
        for number, strand, span in zip(numbers, many.strands, spans_of(counts), strict=True)
    ]


def _grids(many: Many, upright: Sequence[Array], longer: Sequence[float]) -> list[tuple[Array, Array, Array, Array]]:
    """Of each strand stations, weights, the walls that stand there, and which of `_UP` of a wall is meant.

    Three stations on every stretch between ends of pieces, and eight on every wall.
    """
    ends = [(float(strand.body.ends[0]), float(strand.body.ends[-1])) for strand in many.strands]
    around = np.concatenate([begin + (end - begin) * _ALONG for begin, end in ends])
    counts = [len(_ALONG)] * len(ends)
    width, back, belly = many.sizes(around, counts)
    below = np.empty(len(around))
    for section, _, rows in many.alike(counts):
        below[rows] = section.below(belly[rows])
    thick = np.minimum(width, (back + below) / 2).reshape(len(ends), -1).mean(axis=1).tolist()
    every = zip(many.strands, ends, thick, upright, longer, strict=True)
    return [_grid(strand, *each) for strand, *each in every]


def _grid(
    strand: Strand, ends: tuple[float, float], thick: float, upright: Array, longer: float
) -> tuple[Array, Array, Array, Array]:
    body, (begin, end) = strand.body, ends
    count = min(max(math.ceil((end - begin) / (STRETCH * longer * thick)), LEAST), MOST)
    cuts = np.unique(np.concatenate([body.ends, begin + (end - begin) * np.arange(1, count) / count]))
    length = np.diff(cuts)[:, None]
    station = ((cuts[:-1] + cuts[1:])[:, None] / 2 + length / 2 * np.sin(_TURN)).ravel()
    weight = (length * _BUNCHED).ravel()
    stands = np.repeat(np.flatnonzero(upright > 1e-9), len(_UP))
    if len(stands) == 0:
        return station, weight, np.zeros(len(station)), np.zeros(len(station))
    none = np.zeros(len(station))
    up = np.tile(_UP, len(stands) // len(_UP))
    return (
        np.concatenate([station, body.ends[stands]]),
        np.concatenate([weight, np.zeros(len(stands))]),
        np.concatenate([none, upright[stands] / len(_UP)]),
        np.concatenate([none, up]),
    )


def _on_walls(strand: Strand, station: Array, up: Array) -> Sizes:
    """Sizes `up` of the way from the lower to the higher edge of the walls at `station`; a flat end has no lower one.

    As shares of the area between the two, for that is what stands there.
    """
    body, (begin, end) = strand.body, strand.body.ends[[0, -1]]
    before = (np.where(station == begin, 0.0, size) for size in body.beside(station, later=False))
    after = (np.where(station == end, 0.0, size) for size in body.beside(station, later=True))
    a, b, c = (np.sqrt(one * one + (two * two - one * one) * up) for one, two in zip(before, after, strict=True))
    return a, b, c
