"""The box around a strand, from its sections: length, width and height before there is a mesh."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from worker.strands.body import Body
from worker.strands.roots import Array
from worker.strands.strand import Strand

LOOKS, CLOSER = 96, 16
"""Stations of the first look along the strand, and of each closer one between the two beside the best."""


@lru_cache(maxsize=64)  # asked before a bait is taken, and to measure it
def extent_of(strand: Strand) -> tuple[Array, Array]:
    """Least and greatest x, y, z, mm, each (3,): each section reaches as far as its support function says."""
    stations = bunched_stations(strand.body, LOOKS)
    edges = np.concatenate(_reaches(strand, stations), axis=1) * _OUTWARD
    best, around = edges.argmax(axis=0), np.broadcast_to(stations[:, None], edges.shape)
    most, column = edges.max(axis=0), np.arange(6)
    for _ in range(2):
        left = around[np.maximum(best - 1, 0), column]
        right = around[np.minimum(best + 1, len(around) - 1), column]
        around = left + (right - left) * (np.arange(CLOSER + 1) / CLOSER)[:, None]
        every = np.concatenate(_reaches(strand, around.ravel()), axis=1).reshape(CLOSER + 1, 6, 6) * _OUTWARD
        closer = every[:, column, column]
        best = closer.argmax(axis=0)
        most = np.maximum(most, closer.max(axis=0))
    return -most[:3], most[3:]


def bunched_stations(body: Body, steps: int) -> Array:
    """Stations, mm, (n,), for a first look along a body: `steps` bunched to both ends, ends of pieces and crests."""
    begin, end = float(body.ends[0]), float(body.ends[-1])
    # Bunched to both ends, where rounded tips turn fast.
    first = begin + (end - begin) * (1 - np.cos(np.pi * np.arange(steps + 1) / steps)) / 2
    return np.unique(np.concatenate([first, body.ends, *(outline.crest_x for outline in body.outlines)]))


_OUTWARD = np.array([-1.0, -1.0, -1.0, 1.0, 1.0, 1.0])


def _reaches(strand: Strand, station: Array) -> tuple[Array, Array]:
    points, left, back = strand.path.frames(station)
    sizes, section = strand.body.sizes(station), strand.section
    ahead = np.stack([section.reach(*sizes, left[:, axis], back[:, axis]) for axis in range(3)], axis=1)
    if section.even and strand.body.even:
        return points - ahead, points + ahead
    behind = np.stack([section.reach(*sizes, -left[:, axis], -back[:, axis]) for axis in range(3)], axis=1)
    return points - behind, points + ahead
