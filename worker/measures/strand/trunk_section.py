"""Sections of a trunk that is made of several strands: what lies inside any of them, by arithmetic.

The strands lie level and side by side, each section the same above and below the middle plane, so their union is too:
at y it is as high as the highest of them. Area, second moments and widths are integrals of that height.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.strands.body import Body
from worker.strands.roots import Array
from worker.strands.strand import Strand

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(80)


@dataclass(frozen=True)
class Sections:
    """Square to x, one element a station: area mm2, second moments mm4, half-width and half-height mm."""

    area: Array
    up_down: Array
    sideways: Array
    half_width: Array
    half_height: Array


@dataclass(frozen=True)
class _Member:
    """One strand's sections at the stations: how far its middle lies to the left, and its half sizes across x."""

    aside: Array
    half_width: Array
    half_height: Array


def station_at(strand: Strand, x: Array) -> Array:
    """Station of a straight strand whose path is at `x`; beyond its ends where the path is not."""
    ends = strand.path.frames(np.array([0.0, strand.path.length]))[0][:, 0]
    return np.asarray((x - ends[0]) / (ends[1] - ends[0]) * strand.path.length)


def place_of(strand: Strand, station: Array) -> Array:
    """x of a straight strand's path at each station; the other way round."""
    ends = strand.path.frames(np.array([0.0, strand.path.length]))[0][:, 0]
    return np.asarray(ends[0] + (ends[1] - ends[0]) * station / strand.path.length)


def trunk_sections(strands: Sequence[Strand], x: Array, *, smooth: bool = False) -> Sections:
    """The union of the strands' sections at `x` mm from the nose; `smooth` leaves their relief out."""
    members = [_member(strand, strand.smooth if smooth else strand.body, x) for strand in strands]
    there = [member.half_width > 0 for member in members]
    low = np.min([np.where(t, m.aside - m.half_width, np.inf) for m, t in zip(members, there, strict=True)], axis=0)
    high = np.max([np.where(t, m.aside + m.half_width, -np.inf) for m, t in zip(members, there, strict=True)], axis=0)
    any_there = np.any(there, axis=0)
    low, high = np.where(any_there, low, 0.0), np.where(any_there, high, 0.0)
    # Bunched to both sides by a sine, so that upright edges cost nothing.
    turn = np.pi / 2 * _NODES
    half = (high - low)[:, None] / 2
    y = (low + high)[:, None] / 2 + half * np.sin(turn)
    weight = half * (np.pi / 2 * np.cos(turn) * _WEIGHTS)
    height = np.zeros_like(y)
    for member in members:
        share = (y - member.aside[:, None]) / np.maximum(member.half_width, 1e-9)[:, None]
        rest = np.sqrt(np.maximum(1 - share * share, 0.0))
        height = np.maximum(height, member.half_height[:, None] * rest)
    return Sections(
        (2 * height * weight).sum(axis=1),
        (2 / 3 * height * height * height * weight).sum(axis=1),
        (2 * y * y * height * weight).sum(axis=1),
        (high - low) / 2,
        np.max([m.half_height for m in members], axis=0),
    )


def _member(strand: Strand, body: Body, x: Array) -> _Member:
    length = strand.path.length
    station = station_at(strand, x)
    inside = (station >= 0) & (station <= length)
    half_width, half_height = (np.where(inside, part, 0.0) for part in body.half_sizes(np.clip(station, 0.0, length)))
    ends = strand.path.frames(np.array([0.0, length]))[0]
    slant = length / abs(float(ends[1, 0] - ends[0, 0]))
    aside = ends[0, 1] + (ends[1, 1] - ends[0, 1]) * station / length
    return _Member(aside, half_width * slant, half_height)


@lru_cache(maxsize=64)  # a remedy tries many baits that differ in one strand
def hang_together(strands: tuple[Strand, ...]) -> int:
    """How many groups of strands there are that run into each other somewhere."""
    group = list(range(len(strands)))
    ends = [place_of(strand, np.array([0.0, strand.path.length])) for strand in strands]
    for one in range(len(strands)):
        for two in range(one):
            low = max(float(ends[one].min()), float(ends[two].min()))
            high = min(float(ends[one].max()), float(ends[two].max()))
            if high <= low:
                continue
            x = low + (high - low) * (np.arange(65) + 0.5) / 65
            a, b = _member(strands[one], strands[one].body, x), _member(strands[two], strands[two].body, x)
            apart = np.abs(a.aside - b.aside) - a.half_width - b.half_width
            if bool((apart < 0).any()):
                group = [group[two] if each == group[one] else each for each in group]
    return len(set(group))
