"""What a zone leaves of an outline's crests and of the gaps between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from worker.strands.outline import Gaps, Outline
from worker.strands.roots import Array

STEP = 1e-6
"""Heights and places nearer than this, mm, are one."""


def crests_and_gaps(outline: Outline, own: Outline, begin: float, end: float) -> tuple[tuple[Array, Array], Gaps]:
    """The crests and gaps that are left, the zone's own thickest place among the crests."""
    marks_x, marks_y = outline.crest_x, outline.crest_y
    free = np.flatnonzero((marks_x < begin - STEP) | (marks_x > end + STEP))
    # What a border cuts off behind its crest may stand higher there than the zone.
    found = [_thickest(own)]
    for border, later in ((begin, False), (end, True)):
        beside, away = float(outline.height_beside(np.array([border]), later=later)[0]), STEP if later else -STEP
        if beside > float(own.height(np.array([border - away]))[0]) + STEP:
            found.append((border + 2 * away, beside))
    x = np.concatenate([marks_x[free], [at for at, _ in found]])
    y = np.concatenate([marks_y[free], [height for _, height in found]])
    order = np.argsort(x, kind="stable")
    if len(outline.gaps.station) == 0:
        return (x[order], y[order]), outline.gaps
    kept = [each for gap in range(len(outline.gaps.station)) for each in _left_of(outline, own, gap, begin, end)]
    gaps = _gaps(outline.gaps, kept)
    if not kept:
        return (x[order], y[order]), gaps
    # Between two gaps there is one crest: the highest of what is left there. A crest over an upright face stands where
    # its gap does, so which side of it is its own is told by their numbers.
    after = np.searchsorted([each.gap for each in kept], free)
    interval = np.concatenate([after, np.searchsorted(gaps.station, x[len(free) :])])[order]
    x, y = x[order], y[order]
    highest = [int(np.flatnonzero(interval == each)[y[interval == each].argmax()]) for each in range(len(kept) + 1)]
    return (x[highest], y[highest]), gaps


def _thickest(own: Outline) -> tuple[float, float]:
    pieces = own.pieces
    x = (pieces.begin[:, None] + (pieces.end - pieces.begin)[:, None] * np.arange(17) / 16).ravel()
    heights = own.height(x)
    best = int(heights.argmax())
    # Clear of the zone's borders: the foot of a face may stand there.
    return float(np.clip(x[best], pieces.begin[0] + 2 * STEP, pieces.end[-1] - 2 * STEP)), float(heights[best])


@dataclass(frozen=True)
class _Left:
    """What is left of a gap of the outline before: its station, height, where its core shows, whether it is sharp."""

    gap: int
    station: float
    height: float
    joined: bool
    floor: tuple[float, float]
    sharp: bool


def _left_of(outline: Outline, own: Outline, gap: int, begin: float, end: float) -> Iterator[_Left]:
    """What a zone leaves of a gap: all, the foot of an upright face on either side, or nothing."""
    gaps = outline.gaps
    station = float(gaps.station[gap])
    floor = (float(gaps.floor_begin[gap]), float(gaps.floor_end[gap]))
    reaches = _void(outline, station) if not gaps.joined[gap] else (station, station)
    if not (begin - STEP < reaches[1] and reaches[0] < end + STEP):
        kept = (max(floor[0], end), floor[1]) if station > end else (floor[0], min(floor[1], begin))
        sharp = gaps.sharp is not None and bool(gaps.sharp[gap])
        yield _Left(gap, station, float(gaps.height[gap]), bool(gaps.joined[gap]), kept, sharp)
        return
    if begin - float(outline.crest_x[gap]) > STEP:
        kept = (floor[0], min(floor[1], begin))
        yield from _foot(outline, own, _Left(gap, begin, 0.0, False, kept, sharp=True), later=False)
    if float(outline.crest_x[gap + 1]) - end > STEP:
        kept = (max(floor[0], end), floor[1])
        yield from _foot(outline, own, _Left(gap, end, 0.0, False, kept, sharp=True), later=True)


def _void(outline: Outline, station: float) -> tuple[float, float]:
    """Where the void of a gap that parts a bait begins and ends: a zone may stand in the middle of it."""
    pieces = outline.pieces
    before, behind = pieces.end[pieces.end < station], pieces.begin[pieces.begin > station]
    return float(before.max(initial=-np.inf)), float(behind.min(initial=np.inf))


def _foot(outline: Outline, own: Outline, left: _Left, *, later: bool) -> Iterator[_Left]:
    """The gap at a zone's border, where the outline beside it lies lower than the zone; none where it does not."""
    border = left.station
    beside = float(outline.height_beside(np.array([border]), later=later)[0])
    inside = float(own.height(np.array([border + (-STEP if later else STEP)]))[0])
    if beside <= STEP:  # beads that part: the void begins at the zone's border
        yield replace(left, station=(border + _void(outline, border)[later]) / 2)
    elif beside < inside - STEP:
        yield replace(left, height=beside, joined=True)


def _gaps(before: Gaps, left: list[_Left]) -> Gaps:
    floor = np.array([each.floor for each in left]).reshape(-1, 2)
    of = np.array([each.gap for each in left], dtype=np.int64)
    shows = floor[:, 1] - floor[:, 0] > STEP
    return Gaps(
        np.array([each.station for each in left]),
        np.array([each.height for each in left]),
        np.array([each.joined for each in left], dtype=bool),
        before.on_floor[of] & shows,
        floor[:, 0],
        np.maximum(floor[:, 1], floor[:, 0]),
        np.array([each.sharp for each in left], dtype=bool),
        None if before.level is None else before.level[of] & shows,
    )
