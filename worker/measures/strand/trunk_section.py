"""Sections of a trunk that is made of several strands: what lies inside any of them, by arithmetic.

The strands lie side by side or over one another, each running on towards the tail. At y the union reaches as high as
the highest of them and as low as the lowest. Area, second moments and widths are integrals of that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.measures.strand.sides import is_even
from worker.strands.attach import outside
from worker.strands.body import Body
from worker.strands.roots import Array
from worker.strands.section import Section
from worker.strands.strand import Strand

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(80)
_LEFT = _NODES > 0


@dataclass(frozen=True)
class Sections:
    """Square to x, one element a station: area mm2, second moments mm4, half-width and half-height mm."""

    area: Array
    up_down: Array
    sideways: Array
    half_width: Array
    half_height: Array

    def last(self, count: int) -> Sections:
        """The last so many."""
        return Sections(*(part[len(part) - count :] for part in vars(self).values()))

    @classmethod
    def together(cls, first: Sections, others: Sections) -> Sections:
        """These and then those."""
        pairs = zip(vars(first).values(), vars(others).values(), strict=True)
        return cls(*(np.concatenate(pair) for pair in pairs))


@dataclass(frozen=True)
class _Member:
    """One strand's sections at the stations: where its middle lies, left and up, and its sizes across x."""

    aside: Array
    lift: Array
    half_width: Array
    back: Array
    belly: Array
    section: Section


LOOKS = 256
"""Places on a curved path at which its way towards the tail is told."""


def _way(strand: Strand) -> tuple[Array, Array]:
    """Stations of a strand's path and x there, ever growing."""
    length = strand.path.length
    station = np.array([0.0, length]) if strand.path.straight else length * np.arange(LOOKS + 1) / LOOKS
    x = strand.path.frames(station)[0][:, 0]
    return station, x if len(x) == 2 else np.maximum.accumulate(x)


def station_at(strand: Strand, x: Array) -> Array:
    """Station at which a strand's path is at `x`; beyond its ends where the path is not."""
    station, along = _way(strand)
    if len(along) == 2:
        return np.asarray((x - along[0]) / (along[1] - along[0]) * strand.path.length)
    beyond = np.where(x < along[0], -1.0, np.where(x > along[-1], 1.0, 0.0))
    return np.asarray(np.interp(x, along, station) + beyond)


def place_of(strand: Strand, station: Array) -> Array:
    """x of a strand's path at each station; the other way round."""
    return np.asarray(strand.path.frames(station)[0][:, 0])


def trunk_sections(strands: Sequence[Strand], x: Array, *, smooth: bool = False) -> Sections:
    """The union of the strands' sections at `x` mm from the nose; `smooth` leaves their relief out."""
    members = [_member(strand, strand.smooth if smooth else strand.body, x) for strand in strands]
    there = [member.half_width > 0 for member in members]
    low = np.min([np.where(t, m.aside - m.half_width, np.inf) for m, t in zip(members, there, strict=True)], axis=0)
    high = np.max([np.where(t, m.aside + m.half_width, -np.inf) for m, t in zip(members, there, strict=True)], axis=0)
    any_there = np.any(there, axis=0)
    low, high = np.where(any_there, low, 0.0), np.where(any_there, high, 0.0)
    # Bunched to both sides by a sine, so that upright edges cost nothing. Of an even trunk one half tells of both.
    nodes, weights = (_NODES, _WEIGHTS) if not is_even(strands) else (_NODES[_LEFT], 2 * _WEIGHTS[_LEFT])
    turn = np.pi / 2 * nodes
    half = (high - low)[:, None] / 2
    y = (low + high)[:, None] / 2 + half * np.sin(turn)
    weight = half * (np.pi / 2 * np.cos(turn) * weights)
    top, bottom = np.full_like(y, -np.inf), np.full_like(y, np.inf)
    for member in members:
        upward, downward = _column(member, y)
        top = np.maximum(top, member.lift[:, None] + upward)
        bottom = np.minimum(bottom, member.lift[:, None] - downward)
    top, bottom = (np.where(np.isfinite(part), part, 0.0) for part in (top, bottom))
    height = np.maximum(top - bottom, 0.0)
    area = (height * weight).sum(axis=1)
    first = ((top * top - bottom * bottom) / 2 * weight).sum(axis=1)
    second = ((top * top * top - bottom * bottom * bottom) / 3 * weight).sum(axis=1)
    return Sections(
        area,
        second - first * first / np.maximum(area, 1e-12),
        (y * y * height * weight).sum(axis=1),
        (high - low) / 2,
        (top.max(axis=1) - bottom.min(axis=1)) / 2,
    )


def _column(member: _Member, y: Array) -> tuple[Array, Array]:
    """How far a section reaches up and down from its middle at each y, (n, m); -inf beside it."""
    share = np.abs(y - member.aside[:, None]) / np.maximum(member.half_width, 1e-9)[:, None]
    beside = (share >= 1) | (member.half_width <= 0)[:, None]
    parts = []
    for power, reach in ((member.section.upper, member.back), (member.section.lower, member.belly)):
        rest = np.maximum(1 - (share * share if power == 2 else np.power(share, power)), 0.0)
        height = np.sqrt(rest) if power == 2 else np.power(rest, 1 / power)
        parts.append(np.where(beside, -np.inf, reach[:, None] * height))
    return parts[0], member.section.below(parts[1])


def _member(strand: Strand, body: Body, x: Array) -> _Member:
    length = strand.path.length
    station = station_at(strand, x)
    inside = (station >= 0) & (station <= length)
    points, left, back = strand.path.frames(np.clip(station, 0.0, length))
    sizes = body.sizes(np.clip(station, 0.0, length))
    half_width, upward, downward = (np.where(inside, part, 0.0) for part in sizes)
    # A section square to a slanting path is cut by a plane square to x: longer by the slant.
    slant = np.sqrt(left[:, 0] * left[:, 0] + left[:, 1] * left[:, 1]) / np.maximum(np.abs(left[:, 1]), 1e-6)
    pitch = 1 / np.maximum(np.abs(back[:, 2]), 0.2)
    # Beyond its ends a straight path's line goes on, so that what is asked there has a place.
    return _Member(points[:, 1], points[:, 2], half_width * slant, upward * pitch, downward * pitch, strand.section)


@lru_cache(maxsize=64)  # a remedy tries many baits that differ in one strand
def hang_together(strands: tuple[Strand, ...]) -> int:
    """How many groups of strands there are that run into each other somewhere."""
    group = list(range(len(strands)))
    ends = [place_of(strand, np.array([0.0, strand.path.length])) for strand in strands]
    for one in range(len(strands)):
        for two in range(one):
            low = max(float(ends[one].min()), float(ends[two].min()))
            high = min(float(ends[one].max()), float(ends[two].max()))
            if high > low and _touch(strands[one], strands[two], low + (high - low) * _BETWEEN):
                group = [group[two] if each == group[one] else each for each in group]
    return len(set(group))


_BETWEEN = (np.arange(65) + 0.5) / 65


def _touch(one: Strand, two: Strand, x: Array) -> bool:
    """Whether a point of either strand's rim, or of the other's middle, lies in the other at any of `x`."""
    for strand, other in ((one, two), (two, one)):
        station = np.clip(station_at(strand, x), 0.0, strand.path.length)
        points, left, back = strand.path.frames(station)
        aside, upward = strand.section.rim(*strand.body.sizes(station), 16)
        rim = points[:, None, :] + aside[:, :, None] * left[:, None, :] + upward[:, :, None] * back[:, None, :]
        if bool((outside(other, np.concatenate([rim.reshape(-1, 3), points]), relief=True) < 0).any()):
            return True
    return False
