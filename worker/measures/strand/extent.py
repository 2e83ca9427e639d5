"""The box around a strand, from its sections: length, width and height before there is a mesh."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from worker.strands.body import Body
from worker.strands.many import Many, at_rows
from worker.strands.roots import Array
from worker.strands.strand import Strand

LOOKS, CLOSER = 96, 16
"""Stations of the first look along the strand, and of each closer one between the two beside the best."""


def extent_of(strand: Strand) -> tuple[Array, Array]:
    """Least and greatest x, y, z, mm, each (3,): each section reaches as far as its support function says."""
    return extents_of((strand,))[0]


def extents_of(strands: Sequence[Strand]) -> list[tuple[Array, Array]]:
    """The same of many strands, looked at together; kept with each, for every measure asks for it."""
    asked = [strand for strand in strands if _KEPT not in strand.__dict__]
    if asked:
        for strand, extent in zip(asked, _looked_for(asked), strict=True):
            strand.__dict__[_KEPT] = extent
    return [strand.__dict__[_KEPT] for strand in strands]


_KEPT = "extent"


def _looked_for(strands: Sequence[Strand]) -> list[tuple[Array, Array]]:
    many, count = Many(tuple(strands)), len(strands)
    looked = [bunched_stations(strand.body, LOOKS) for strand in strands]
    counts = [len(station) for station in looked]
    edges = _edges(many, np.concatenate(looked), counts)
    column, most = np.arange(6), np.empty((count, 6))
    around = np.empty((CLOSER + 1, count, 6))
    ends = np.cumsum(counts)[:-1]
    for number, (station, edge) in enumerate(zip(looked, np.split(edges, ends), strict=True)):
        best = edge.argmax(axis=0)
        most[number] = edge[best, column]
        left, right = station[np.maximum(best - 1, 0)], station[np.minimum(best + 1, len(station) - 1)]
        around[:, number] = left + (right - left) * _CLOSER
    for _ in range(2):
        # A strand's own stations lie together.
        station = around.transpose(1, 0, 2).ravel()
        every = _edges(many, station, [(CLOSER + 1) * 6] * count).reshape(count, CLOSER + 1, 6, 6)
        closer = every[:, :, column, column]
        best = closer.argmax(axis=1)
        most = np.maximum(most, closer.max(axis=1))
        row = np.arange(count)[:, None]
        left, right = around[np.maximum(best - 1, 0), row, column], around[np.minimum(best + 1, CLOSER), row, column]
        around = left + (right - left) * _CLOSER[:, :, None]
    return [(-each[:3], each[3:]) for each in most]


def furthest(strands: Sequence[Strand], axis: int, outward: float) -> float:
    """How far strands reach along x, y or z (axis 0, 1 or 2), forth or back (1.0 or -1.0), mm: `extent_of` of one side.

    Asked of claws and tails before their place is known; a third of the work that all six sides take.
    """
    many, count = Many(tuple(strands)), len(strands)
    looked = [bunched_stations(strand.body, LOOKS) for strand in strands]
    edge = _edge(many, np.concatenate(looked), [len(station) for station in looked], axis, outward)
    most, around = float(edge.max()), np.empty((count, CLOSER + 1))
    ends = np.cumsum([len(station) for station in looked])[:-1]
    for number, (station, own) in enumerate(zip(looked, np.split(edge, ends), strict=True)):
        best = int(own.argmax())
        around[number] = _between(station[max(best - 1, 0)], station[min(best + 1, len(station) - 1)])
    for _ in range(2):
        closer = _edge(many, around.ravel(), [CLOSER + 1] * count, axis, outward).reshape(count, -1)
        most = max(most, float(closer.max()))
        best, row = closer.argmax(axis=1), np.arange(count)
        around = _between(
            around[row, np.maximum(best - 1, 0)][:, None], around[row, np.minimum(best + 1, CLOSER)][:, None]
        )
    return most * outward


def _between(left: Array, right: Array) -> Array:
    return left + (right - left) * _CLOSER[:, 0]


def _edge(many: Many, station: Array, counts: Sequence[int], axis: int, outward: float) -> Array:
    """How far outwards each section reaches along one axis, (n,), mm."""
    points, left, back = many.frames(station, counts)
    sizes, reach = many.sizes(station, counts), np.empty(len(station))
    for section, body, rows in many.alike(counts):
        side = 1.0 if section.even and body.even else outward
        reach[rows] = section.reach(*at_rows(sizes, rows), side * left[rows, axis], side * back[rows, axis])
    return np.asarray((points[:, axis] + outward * reach) * outward)


def bunched_stations(body: Body, steps: int) -> Array:
    """Stations, mm, (n,), for a first look along a body: `steps` bunched to both ends, ends of pieces and crests."""
    begin, end = float(body.ends[0]), float(body.ends[-1])
    # Bunched to both ends, where rounded tips turn fast.
    first = begin + (end - begin) * (1 - np.cos(np.pi * np.arange(steps + 1) / steps)) / 2
    return np.unique(np.concatenate([first, body.ends, *(outline.crest_x for outline in body.outlines)]))


_OUTWARD = np.array([-1.0, -1.0, -1.0, 1.0, 1.0, 1.0])
_CLOSER = (np.arange(CLOSER + 1) / CLOSER)[:, None]


def _edges(many: Many, station: Array, counts: Sequence[int]) -> Array:
    """How far each section reaches along -x, -y, -z, x, y and z, (n, 6), mm."""
    points, left, back = many.frames(station, counts)
    sizes = many.sizes(station, counts)
    ahead, behind = np.empty_like(points), np.empty_like(points)
    for section, body, rows in many.alike(counts):
        a, b, c = (np.tile(size[rows], 3) for size in sizes)
        across, upward = (part[rows].T.ravel() for part in (left, back))
        ahead[rows] = section.reach(a, b, c, across, upward).reshape(3, -1).T
        if section.even and body.even:
            behind[rows] = ahead[rows]
        else:
            behind[rows] = section.reach(a, b, c, -across, -upward).reshape(3, -1).T
    return np.asarray(np.concatenate([points - behind, points + ahead], axis=1) * _OUTWARD)
