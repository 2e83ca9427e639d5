"""Rims of a trunk's necks in their planes, by rays from the path: with its relief, and without."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.places import Box
from worker.measures.strand.trunk_section import station_at
from worker.strands.attach import nearly_outside
from worker.strands.path import StraightPath
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross

AROUND = 128
"""Rays around a neck."""
LOOKS, CLOSER = 16, 6
"""Steps of the first look along a ray for where a trunk of several strands ends, and of the closer one."""
RAY = 2 * np.pi / AROUND
"""Radians that each stands for."""
_TURN = 2 * np.pi * (np.arange(AROUND) + 0.5) / AROUND


@dataclass(frozen=True)
class Rays:
    """Rays in the planes of necks: whose each is, where it begins and its unit vector outward, (n,), (n, 3), (n, 3).

    Unit vectors ahead, (n, 3), and how far outward is to the left and to the back, (n,).
    """

    neck: NDArray[np.int64]
    points: Array
    out: Array
    ahead: Array
    cosine: Array
    sine: Array

    def chosen(self, which: NDArray[np.bool_]) -> Rays:
        """Those rays alone."""
        return Rays(self.neck[which], *(getattr(self, name)[which] for name in list(Rays.__dataclass_fields__)[1:]))

    def at(self, run: Array) -> Array:
        """Points (n, 3) so many mm, (n,), along them."""
        return self.points + run[:, None] * self.out

    def meet(self, box: Box, most: Array) -> NDArray[np.bool_]:
        """Whether they pass a box no later than at `most` mm, (n,): by the slabs between its opposite sides."""
        first, last = np.zeros(len(most)), most
        for axis in range(3):
            way = self.out[:, axis]
            way = np.where(np.abs(way) < 1e-9, 1e-9, way)
            low, high = ((side[axis] - self.points[:, axis]) / way for side in box)
            first, last = np.maximum(first, np.minimum(low, high)), np.minimum(last, np.maximum(low, high))
        return np.asarray(first < last)


@dataclass(frozen=True)
class Necks:
    """Planes of a trunk's necks: points on the path and directions to the left and to the back, (n, 3).

    `around` (n,): mm within which all of the trunk's section lies.
    """

    trunk: tuple[Strand, ...]
    station: Array
    points: Array
    left: Array
    back: Array
    around: Array

    def rays(self, rows: NDArray[np.int64]) -> Rays:
        """All rays of the necks `rows`."""
        left, back = (np.repeat(part[rows], AROUND, axis=0) for part in (self.left, self.back))
        cosine, sine = (np.tile(part, len(rows)) for part in (np.cos(_TURN), np.sin(_TURN)))
        out = cosine[:, None] * left + sine[:, None] * back
        points = np.repeat(self.points[rows], AROUND, axis=0)
        return Rays(np.repeat(rows, AROUND), points, out, cross(left, back), cosine, sine)

    def rims(self, rays: Rays, *, relief: bool = True) -> Array:
        """mm along each ray to the trunk's skin, with its relief or without, (n,)."""
        if len(self.trunk) > 1:
            return _outermost(self.trunk, rays, self.around[rays.neck], relief=relief)
        strand = self.trunk[0]
        sizes = strand.body.narrower_side(self.station) if relief else strand.smooth.sizes(self.station)
        # A section's gauge grows evenly along a ray, and is one on its rim.
        a, b, c = (size[rays.neck] for size in sizes)
        return np.asarray(1 / (1 + strand.section.beyond(a, b, c, rays.cosine, rays.sine)))


def necks_at(trunk: tuple[Strand, ...], station: Array) -> Necks:
    """The planes at `station`: square to the path of one strand, square to x of several, from between their paths."""
    if len(trunk) == 1:
        points, left, back = trunk[0].path.frames(station)
        return Necks(trunk, station, points, left, back, _corner(trunk[0], station))
    ats = [station_at(strand, station) for strand in trunk]
    there = np.array([(at >= 0) & (at <= strand.path.length) for strand, at in zip(trunk, ats, strict=True)])
    ats = [np.clip(at, 0.0, strand.path.length) for strand, at in zip(trunk, ats, strict=True)]
    places = np.array([strand.path.frames(at)[0] for strand, at in zip(trunk, ats, strict=True)])
    points = (places * there[:, :, None]).sum(axis=0) / np.maximum(there.sum(axis=0), 1)[:, None]
    points[:, 0] = station
    away = np.sqrt(((places - points) ** 2).sum(axis=2))
    corners = np.array([_corner(strand, at) for strand, at in zip(trunk, ats, strict=True)])
    _, left, back = StraightPath(1.0).frames(station)
    return Necks(trunk, station, points, left, back, np.where(there, away + corners, 0.0).max(axis=0))


def _corner(strand: Strand, station: Array) -> Array:
    """How far from the path a corner of the box around a section lies, with relief or without."""
    sizes = [np.maximum(*pair) for pair in zip(strand.body.sizes(station), strand.smooth.sizes(station), strict=True)]
    return np.asarray(np.sqrt(sizes[0] ** 2 + np.maximum(sizes[1], sizes[2]) ** 2))


def _outermost(trunk: Sequence[Strand], rays: Rays, most: Array, *, relief: bool) -> Array:
    """The last place of each ray, up to `most` mm, that lies in any strand of the trunk; 0 where none does."""
    low, step = np.zeros(len(most)), most / LOOKS
    row = np.arange(len(most))
    for steps in (LOOKS, CLOSER):
        run = low[:, None] + step[:, None] * np.arange(steps + 1)
        places = (rays.points[:, None, :] + run[:, :, None] * rays.out[:, None, :]).reshape(-1, 3)
        out = np.min([nearly_outside(strand, places, relief=relief) for strand in trunk], axis=0).reshape(run.shape)
        there = out < 0
        any_there = there.any(axis=1)
        last = np.minimum(steps - there[:, ::-1].argmax(axis=1), steps - 1)
        low, step = run[row, last], step / CLOSER
    step = step * CLOSER
    before, behind = out[row, last], out[row, last + 1]
    share = np.clip(-before / np.maximum(behind - before, 1e-12), 0.0, 1.0)
    return np.where(any_there, low + share * step, 0.0)
