"""Hollows along a stretch of a strand: slots, insides and cuts. They follow its path."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from worker.open_form.frames import turn_of
from worker.open_form.hollows.rods import CLEAR
from worker.open_form.shapes import span
from worker.open_form.tree import Copy
from worker.strands.girth import Girth, GirthStation
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Path, Point, StraightPath
from worker.strands.plain import Plain
from worker.strands.roots import Array
from worker.strands.section import Section
from worker.strands.strand import HollowKind, Strand
from worker.strands.vectors import cross, norm

Told = Mapping[str, Any]

LOOKS = 8
"""Stretches into which a hollow's girth is cut where it is not level."""
TURN, MOST_CURVES = 0.35, 24
"""Greatest turn, radians, of one curve of a hollow's path, and how many curves there may be."""
OVER, THIN = 0.5, 0.1
"""How far a slot or a cut reaches over the surface, and the least that a hollow reaches to either side, mm."""
FLAT = Section(8.0, 8.0)
"""Flat sides, rounded at the corners."""
THINNEST_INSIDE = 0.4
"""Least half-width of an inside, mm."""


def slot(told: Told, copy: Copy) -> list[Strand]:
    """Open to the back or the belly, its floor `depth` below the surface all along."""
    strand, side = copy.strand, told["side"]
    begin, end, at = stretch_of(told, strand)
    sizes = girths_at(strand, at)
    surface = sizes[1] if side == "back" else sizes[2]
    top, floor = surface + _raised(strand) + OVER, surface - told["depth"]
    # The path lies level, just above the highest place of the floor.
    level = float(floor.max()) + 0.1
    outward, inward = np.maximum(top - level, THIN), level - floor
    back, belly = (outward, inward) if side == "back" else (inward, outward)
    path = along_path(strand.path, begin, end, (0.0, level if side == "back" else -level))
    return [_blade("slot", path, at, (begin, end), np.full(len(at), told["width"]), back, belly, FLAT)]


def inside(told: Told, copy: Copy) -> list[Strand]:
    """The strand itself, thinner by `wall` all around; open where it goes through an end, round where it does not."""
    strand = copy.strand
    begin, end, at = stretch_of(told, strand)
    sizes = [np.maximum(size - told["wall"], THINNEST_INSIDE) for size in girths_at(strand, at)]
    section = strand.section
    if section.floor is not None:
        section = Section(section.upper, section.lower, max(section.floor - told["wall"], THINNEST_INSIDE))
    path = along_path(strand.path, begin, end, (0.0, 0.0))
    low, high = min(float(size[0]) for size in sizes), min(float(size[-1]) for size in sizes)
    room = 0.45 * (end - begin)
    ends = (0.0 if begin < 0 else min(low, room), 0.0 if end > strand.path.length else min(high, room))
    return [_blade("inside", path, at, (begin, end), 2 * sizes[0], sizes[1], sizes[2], section, ends)]


def cuts(told: Told, copy: Copy) -> list[Strand]:
    """Gaps from the path out through the surface, spread evenly around it."""
    first = -told["around"] if copy.handed else told["around"]
    turn = (-360.0 if copy.handed else 360.0) / told["count"]
    return [_cut(told, copy.strand, first + turn * place) for place in range(told["count"])]


def _cut(told: Told, strand: Strand, degrees: float) -> Strand:
    begin, end, at = stretch_of(told, strand)
    cosine, sine = turn_of(degrees)
    surface = strand.section.reach(*girths_at(strand, at), np.full(len(at), sine), np.full(len(at), cosine))
    outer = surface + _raised(strand) + OVER
    inner = told["width"]  # past the path, so that cuts from all sides run into each other
    middle = (float(outer.min()) - inner) / 2
    path = along_path(strand.path, begin, end, (middle * sine, middle * cosine), (cosine, -sine))
    inward = np.full(len(at), middle + inner)
    return _blade("cut", path, at, (begin, end), np.full(len(at), told["width"]), outer - middle, inward, FLAT)


def stretch_of(told: Told, strand: Strand) -> tuple[float, float, Array]:
    """Where a hollow begins and ends, past an end of the strand that it reaches, and the stations of its girth."""
    length = strand.path.length
    begin, end = span(told, length)
    at = begin + (end - begin) * np.arange(LOOKS + 1) / LOOKS
    return (-CLEAR if begin < 1e-6 else begin), (length + CLEAR if end > length - 1e-6 else end), at


def girths_at(strand: Strand, at: Array) -> tuple[Array, Array, Array]:
    """Half-width and reach to back and belly, the ends left out of account."""
    length, girth = strand.path.length, strand.girth
    tops = (girth.half_widths(length), girth.backs(length), girth.bellies(length))
    half, back, belly = (np.asarray(top.heights(at)) for top in tops)
    return half, back, strand.section.below(belly)


def _raised(strand: Strand) -> float:
    return max((zone.raised for zone in strand.zones), default=0.0)


def along_path(
    path: Path, begin: float, end: float, aside: tuple[float, float], left: tuple[float, float] = (1.0, 0.0)
) -> Path:
    """The path from `begin` to `end`, beyond its own ends straight on, `aside` mm to the left and to the back of it.

    `left` turns what goes along it: the direction to its left, said to the left and to the back.
    """
    inner = [min(max(each, 0.0), path.length) for each in (begin, end)]
    looks = 1 if path.straight else _knots(path, inner[0], inner[1])
    at = inner[0] + (inner[1] - inner[0]) * np.arange(looks + 1) / looks
    points, to_left, to_back = path.frames(at)
    ahead = cross(to_left, to_back)
    points = points + aside[0] * to_left + aside[1] * to_back
    points[0] += (begin - inner[0]) * ahead[0]
    points[-1] += (end - inner[1]) * ahead[-1]
    turned = _point(left[0] * to_left[0] + left[1] * to_back[0])
    if path.straight:
        return StraightPath(end - begin, _point(points[0]), _point(ahead[0]), turned)
    return HermitePath(tuple(Knot(_point(p), _point(a)) for p, a in zip(points, ahead, strict=True)), turned)


def _knots(path: Path, begin: float, end: float) -> int:
    """Curves that a stretch of a path is told by: a cubic follows a turn of up to TURN closely."""
    _, left, back = path.frames(begin + (end - begin) * np.arange(65) / 64)
    ways = np.diff(cross(left, back), axis=0)
    return min(max(math.ceil(float(norm(ways).sum()) / TURN), 2), MOST_CURVES)


def _point(values: Array) -> Point:
    x, y, z = (values + 0.0).tolist()
    return x, y, z


def _blade(
    kind: HollowKind,
    path: Path,
    at: Array,
    ends_at: tuple[float, float],
    width: Array,
    back: Array,
    belly: Array,
    section: Section,
    ends: tuple[float, float] = (0.0, 0.0),
) -> Strand:
    """A hollow whose girth is told at the strand's stations `at`, along a path between those of `ends_at`."""
    share = (at - ends_at[0]) / (ends_at[1] - ends_at[0])
    if all(float(np.ptp(column)) < 1e-9 for column in (width, back, belly)):
        share, width, back, belly = (column[[0, -1]] for column in (share, width, back, belly))
    rows = [
        GirthStation(*(round(float(each), 9) for each in row)) for row in zip(share, width, back, belly, strict=True)
    ]
    first = [GirthStation(0.0, rows[0].width, rows[0].back, rows[0].belly)] if rows[0].at > 0 else []
    last = [GirthStation(1.0, rows[-1].width, rows[-1].back, rows[-1].belly)] if rows[-1].at < 1 else []
    return Strand(kind, kind, path, Girth((*first, *rows, *last)), Plain(ends), section=section)
