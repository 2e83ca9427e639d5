"""Rings of points around a strand's body, and the triangles between them.

Plain chords lose volume: -1.2 % at the default tolerance. So every ring is drawn a little outside, to the polygon of
the section's own area, and the rings between two ends of an outline's pieces are moved until the stretch has its exact
volume. Both moves stay within the tolerance, and ends of pieces, crests and necks stay where they are.

On a path that turns, a slice between two rings is worth its chord along their mean direction, which is shorter than the
path; by Pappus the volume is that of the strand laid straight, and the same moves restore it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.strands.belly_level import CLOSEST, apart, followed
from worker.strands.body import Body
from worker.strands.fineness import SAG_SHARE, TURN_SHARE
from worker.strands.path import Path
from worker.strands.roots import Array
from worker.strands.section import Section
from worker.strands.vectors import cross, dot

Triangles = NDArray[np.int64]


@dataclass(frozen=True)
class Rings:
    """Ring centres along the strand, (n,), and half-width and reach to back and belly of each, (3, n); mm."""

    station: Array
    sizes: Array


def place_rings(body: Body, path: Path, begin: float, end: float, tolerance: float) -> Rings:
    """The rings of one connected stretch of a body, moved so that each stretch between fixed ones keeps its volume."""
    sag = SAG_SHARE * tolerance
    fixed_stations, behind = _fixed(body, begin, end)
    for finer in (1.0, 0.5, 0.25):
        rings, fixed = _placed(body, path, fixed_stations, behind, finer * sag)
        rings, missing = _keep_volume(body, path, rings, fixed, sag * 4 / 3)
        if missing < MISSING:
            break
    return rings


MISSING = 2e-4
"""Share of the volume that rings may leave out where they would have to move too far: else there are more."""


def _placed(
    body: Body, path: Path, fixed_stations: Array, behind: Array, sag: float
) -> tuple[Rings, NDArray[np.bool_]]:
    """The rings of the outlines, not moved, and which of them are fixed."""
    of_outline = sag if path.straight else (1 - TURN_SHARE) * sag
    station = np.unique(np.concatenate([_between(body, fixed_stations, of_outline), fixed_stations]))
    station = followed(body, station, fixed_stations, of_outline)
    station = path.subdivided(station, TURN_SHARE * sag, largest_radius(body))
    beyond = station.copy()
    beyond[np.searchsorted(station, fixed_stations)] = behind
    before, after = _sides(body, station, later=False), _sides(body, beyond, later=True)
    before[:, 0], after[:, -1] = after[:, 0], before[:, -1]
    wall = np.abs(before - after).max(axis=0) > CLOSEST
    rows = np.repeat(np.arange(len(station)), 1 + wall)
    second = np.concatenate([[False], rows[1:] == rows[:-1]])
    rings = Rings(station[rows], np.where(second, after[:, rows], before[:, rows]))
    return rings, np.isin(rings.station, fixed_stations)


def largest_radius(body: Body) -> float:
    """Greatest half-width or reach of a body, mm."""
    return float(max(outline.crest_y.max() for outline in body.outlines))


def _runs(body: Body, path: Path, rings: Rings) -> Array:
    """What each slice's length is worth for its volume: on an arc of angle t the chord is sin(t) / t of it.

    Where the sections' centroids lie off the path, theirs is the way that counts (Pappus).
    """
    if path.straight:
        return np.diff(rings.station)
    points, left, back = path.frames(rings.station)
    if not (body.even and body.section.even):
        points = points + body.section.moments(*rings.sizes)[0][:, None] * back
    tangents = cross(left, back)
    return np.asarray(dot(np.diff(points, axis=0), tangents[:-1] + tangents[1:]) / 2)


def _stretched(body: Body, path: Path, station: Array, sizes: tuple[Array, Array, Array]) -> Array:
    """Way of the sections' centroids over the path's own, (n,)."""
    if path.straight or (body.even and body.section.even):
        return np.ones(len(station))
    _, _, back = path.frames(station)
    return np.asarray(1 - body.section.moments(*sizes)[0] * dot(path.curvature(station), back))


def _sides(body: Body, station: Array, *, later: bool) -> Array:
    """Half-width and reaches just before or just after each station: (3, n)."""
    return np.stack(body.beside(station, later=later))


def _fixed(body: Body, begin: float, end: float) -> tuple[Array, Array]:
    """Stations at which a ring stands, and for each the last of the marks too near to it to have a ring of their own.

    Such a mark may be an upright face: what lies behind it is what follows the ring.
    """
    marks: list[Array] = [body.ends, body.level_edges, np.array([begin, end])]
    for outline in body.outlines:
        marks += [outline.crest_x, outline.gaps.station]
    together: Array = np.unique(np.round(np.concatenate(marks), 9))
    together = together[(together >= begin - 1e-9) & (together <= end + 1e-9)]
    kept = np.concatenate([[True], np.diff(together) >= CLOSEST])
    if not kept[-1]:  # the very end stays; what lies right before it goes
        kept[np.flatnonzero(kept)[-1]] = False
        kept[-1] = True
    first = np.flatnonzero(kept)
    fixed, behind = together[first], together[np.append(first[1:], len(together)) - 1]
    thinnest = body.thinnest[(body.thinnest > begin) & (body.thinnest < end)]
    thinnest = thinnest[np.abs(thinnest - _nearest(fixed, thinnest)) >= CLOSEST]
    order = np.argsort(np.concatenate([fixed, thinnest]), kind="stable")
    return np.concatenate([fixed, thinnest])[order], np.concatenate([behind, thinnest])[order]


def _between(body: Body, fixed: Array, sag: float) -> Array:
    """Stations between the fixed ones. Where outlines differ, each stretch follows the one that asks for most."""
    wanted: list[Array] = []
    for outline in body.outlines:
        station = outline.stations(sag)
        station = station[(station > fixed[0]) & (station < fixed[-1])]
        wanted.append(station[np.abs(station - _nearest(fixed, station)) >= CLOSEST])
    if len(wanted) == 1:
        return wanted[0]
    stretches = [np.searchsorted(fixed, station) for station in wanted]
    counts = [np.bincount(stretch, minlength=len(fixed) + 1) for stretch in stretches]
    leads = np.argmax(counts, axis=0)
    chosen = np.concatenate([each[leads[stretches[of]] == of] for of, each in enumerate(wanted)])
    return np.concatenate([chosen, _halved(body, fixed, chosen)])


def _halved(body: Body, fixed: Array, chosen: Array) -> Array:
    """Middles of bent stretches without a ring of their own: the marks of one view cut the pieces of the other.

    Without a ring to move such a stretch would not keep its volume.
    """
    held = np.bincount(np.searchsorted(fixed, chosen), minlength=len(fixed))[1 : len(fixed)]
    bare = np.flatnonzero((held == 0) & (np.diff(fixed) > 4 * CLOSEST))
    low, high = fixed[bare], fixed[bare + 1]
    middle = (low + high) / 2
    straight = (_sides(body, low, later=True) + _sides(body, high, later=False)) / 2
    bent = np.abs(_sides(body, middle, later=True) - straight).max(axis=0) > CLOSEST / 10
    return np.asarray(middle[bent])


def _nearest(sorted_values: Array, at: Array) -> Array:
    after = np.clip(np.searchsorted(sorted_values, at), 1, len(sorted_values) - 1)
    lower, upper = sorted_values[after - 1], sorted_values[after]
    return np.where(at - lower < upper - at, lower, upper)


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)


def _keep_volume(body: Body, path: Path, rings: Rings, fixed: NDArray[np.bool_], most: float) -> tuple[Rings, float]:
    """Moves the rings between two fixed ones outward or inward, by one amount a stretch, to its exact volume.

    By no more than `most`, mm; so there may be a share of the whole volume missing, which is told.
    """
    ends = np.flatnonzero(fixed)
    low, high = rings.station[ends[:-1]], rings.station[ends[1:]]
    half = (high - low) / 2
    turn = np.pi / 2 * _NODES
    at = ((low + half)[:, None] + half[:, None] * np.sin(turn)).ravel()
    sizes = body.sizes(at)
    density = (body.section.area(*sizes) * _stretched(body, path, at, sizes)).reshape(len(low), -1)
    exact = (density * np.cos(turn) * _WEIGHTS).sum(axis=1) * half * (np.pi / 2)
    run = _runs(body, path, rings)
    stretch = np.cumsum(fixed)[:-1] - 1  # of the slice behind each ring
    of_ring = np.where(fixed, -1, np.cumsum(fixed) - 1)
    count = len(ends) - 1
    least = -0.5 * np.min(rings.sizes, axis=0)
    moved, now = np.zeros(count), rings.sizes
    for _ in range(2):  # the volume is quadratic in the move and the move is small: Newton's rule needs two steps
        missing = exact - np.bincount(stretch, run * _slices(body, now), count)
        outward = np.where(of_ring < 0, 0.0, STEP)
        rate = np.bincount(stretch, run * (_slices(body, now + outward) - _slices(body, now)) / STEP, count)
        moved = np.clip(moved + np.where(rate > 0, missing / np.where(rate > 0, rate, 1.0), 0.0), -most, most)
        move = np.where(of_ring < 0, 0.0, moved[np.maximum(of_ring, 0)])
        now = rings.sizes + np.maximum(move, least)
    left = np.abs(exact - np.bincount(stretch, run * _slices(body, now), count)).sum() / max(exact.sum(), 1e-12)
    return Rings(rings.station, now), float(left)


STEP = 1e-3
"""Move, mm, from which the rate of a stretch's volume is told."""


def _slices(body: Body, sizes: Array) -> Array:
    """Mean area of each slice between two rings, sizes (3, n): Simpson's rule, exact for areas that are quadratic."""
    area, between = body.section.area, (sizes[:, :-1] + sizes[:, 1:]) / 2
    here = area(*sizes)
    if body.section.floor is not None:
        return np.asarray((here[:-1] + here[1:]) / 2 - apart(body.section, sizes[:, :-1], sizes[:, 1:]) / 6)
    return np.asarray((here[:-1] + 4 * area(*between) + here[1:]) / 6)


def skin(path: Path, rings: Rings, around: int, section: Section) -> tuple[Array, Triangles]:
    """Vertices (n, 3) and outward triangles (m, 3) of the closed surface over `rings`; flat ends are filled."""
    return closed(*corner_points(path, rings, around, section))


def corner_points(path: Path, rings: Rings, around: int, section: Section) -> tuple[Array, Array]:
    """Corners of the rings, (k, `around`, 3), and the two points that close the ends, (2, 3).

    A ring of no size at an end is that end's point alone.
    """
    first_size, last_size = rings.sizes[:, 0], rings.sizes[:, -1]
    pointed_begin, pointed_end = (bool(min(s[0], max(s[1:])) < CLOSEST) for s in (first_size, last_size))
    inner = slice(1 if pointed_begin else 0, len(rings.station) - (1 if pointed_end else 0))
    station, sizes = rings.station[inner], rings.sizes[:, inner]
    points, left, back = path.frames(station)
    aside, upward = section.rim(sizes[0], sizes[1], sizes[2], around)
    surface = points[:, None, :] + aside[:, :, None] * left[:, None, :] + upward[:, :, None] * back[:, None, :]
    tips, _, _ = path.frames(rings.station[[0, -1]])
    return surface, tips


def closed(surface: Array, tips: Array) -> tuple[Array, Triangles]:
    """Vertices and outward triangles over rings of corners (k, n, 3) from root to tip, closed by two `tips` (2, 3)."""
    count, around = surface.shape[:2]
    ring = np.arange(count - 1)[:, None] * around
    here, there = np.arange(around)[None, :], (np.arange(around)[None, :] + 1) % around
    a, b, c, d = ring + here, ring + there, ring + around + here, ring + around + there
    first, last = count * around, count * around + 1
    rim, next_rim = here[0], there[0]
    behind = (count - 1) * around
    triangles = np.concatenate(
        [
            np.stack([np.full(around, first), next_rim, rim], axis=1),
            np.stack([a, b, c], axis=2).reshape(-1, 3),
            np.stack([b, d, c], axis=2).reshape(-1, 3),
            np.stack([np.full(around, last), behind + rim, behind + next_rim], axis=1),
        ]
    )
    return np.concatenate([surface.reshape(-1, 3), tips]), triangles
