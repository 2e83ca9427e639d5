"""How deep lobes run into what holds them, from station to station."""

from __future__ import annotations

import numpy as np

from worker.checks.subject import Subject
from worker.strands.strand import Strand
from worker.values.stations import Station, along

LOBED = ("craw",)
"""Styles whose body is of lobes."""
LOOKS = 400
"""Stations along a lobe, beside those where its outline changes."""
APART = -20.0
"""What is told, mm, where a lobe does not reach over the whole stretch."""


def lobes_touch(subject: Subject, begin: Station, end: Station) -> float:
    """The least overlap, mm, of the left lobe with the core or with the right lobe between two stations of the bait.

    Seen from above: the lobe's inner edge against the outer edge of the core, or against its own mirror image. Below 0
    they stand so far apart. Stations are fractions of the bait's length, or lengths from its nose as text; either may
    be the nearer to the nose.
    """
    trunk = {strand.name: strand for strand in subject.trunk_strands}
    lobe, core = trunk["left lobe"], trunk.get("core")
    length = subject.size.length
    first, last = sorted((along(begin, length), along(end, length)))
    x, inner = _inner_edge(lobe)
    if x[0] > first + 1e-9 or x[-1] < last - 1e-9:
        return APART
    at = np.unique(np.concatenate([[first, last], x[(x > first) & (x < last)]]))
    edge = np.interp(at, x, inner)
    deep = -2 * edge
    if core is not None:
        deep = np.maximum(deep, _half_width(core, at) - edge)
    return float(deep.min())


def _inner_edge(lobe: Strand) -> tuple[np.ndarray, np.ndarray]:
    """x and y, mm, of the lobe's edge on the right of its path."""
    length = lobe.path.length
    station = np.unique(np.concatenate([lobe.body.side.gaps.station, length * np.arange(LOOKS + 1) / LOOKS]))
    points, left, _ = lobe.path.frames(station)
    edge = points - left * lobe.body.sizes(station)[0][:, None]
    order = np.argsort(edge[:, 0], kind="stable")
    return edge[order, 0], edge[order, 1]


def _half_width(core: Strand, x: np.ndarray) -> np.ndarray:
    """Of a straight core along x, mm; below 0 where there is none."""
    station = x - core.path.frames(np.array([0.0]))[0][0, 0]
    inside = (station >= 0) & (station <= core.path.length)
    width = core.body.sizes(np.clip(station, 0.0, core.path.length))[0]
    return np.where(inside, width, APART)
