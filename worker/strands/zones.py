"""Zones: stretches of a strand where its relief gives way to the plain girth, or to a raised collar over it.

A smooth nose, a head, an egg band. The outline outside of a zone is left as it is, to the last bit; inside it are the
girth's own cubics, so nothing is sampled here either. Where a zone begins on a crest of the relief, the two meet
without a step; elsewhere an upright face lies between them, and the neck that is left at its foot stays a joint.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from worker.strands.cubics import Cubics
from worker.strands.outline import BLEND, BULGE, Gaps, Outline, Pieces
from worker.strands.plain import cap, together
from worker.strands.roots import Array

FOOT = 0.35
"""Radius of the round at a collar's foot over how far the collar is raised (judgement)."""
SHOULDER = 1.5
"""Length of a collar's rounded shoulder over how far it is raised; never over a third of the collar (judgement)."""
WIDEST_FACE = 0.95
"""Greatest flat face of a round head over its full height: what is left is its edge's round (judgement)."""
STEP = 1e-6
"""Heights nearer than this, mm, are one."""


@dataclass(frozen=True)
class Zone:
    """From `begin` to `end` mm along the path: the plain girth, `raised` mm outward.

    `cap`: the zone begins with an elliptic head of so many mm, 0 a flat face; None leaves the strand its own nose.
    `tip`: the same at the strand's other end. `face`: radius of the flat face that head and tip end in, mm, as where a
    bore opens.
    """

    begin: float
    end: float
    raised: float = 0.0
    cap: float | None = None
    tip: float | None = None
    face: float = 0.0

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        ends = {name: each for name, each in (("cap", self.cap), ("tip", self.tip)) if each is not None}
        face = {"face": self.face} if ends and self.face else {}
        return {"begin": self.begin, "end": self.end, "raised": self.raised, **ends, **face}


def applied(outline: Outline, top: Cubics, length: float, zones: tuple[Zone, ...]) -> Outline:
    """`outline` with every zone laid over it, one after the other; `top` is the girth along the path of `length` mm."""
    for zone in zones:
        outline = _with(outline, top, length, zone)
    return outline


def _with(outline: Outline, top: Cubics, length: float, zone: Zone) -> Outline:
    begin, end = _inside_of_the_ends(outline, length, zone)
    if end - begin < STEP:
        return outline
    before, behind = _clipped(outline.pieces, -np.inf, begin), _clipped(outline.pieces, end, np.inf)
    own = _pieces(outline, top, length, begin, end, zone)
    pieces = together(before, own, behind)
    crests, gaps = _crests_and_gaps(outline, Outline(own, np.zeros(0), np.zeros(0), outline.gaps, 0.0), begin, end)
    return Outline(pieces, crests[0], crests[1], gaps, outline.blend)


def _inside_of_the_ends(outline: Outline, length: float, zone: Zone) -> tuple[float, float]:
    """Where the zone lies: it leaves the strand its own rounded nose, unless it brings a head, and its own tip."""
    pieces = outline.pieces
    begin, end = max(zone.begin, 0.0), min(zone.end, length)
    if zone.cap is not None:
        end = max(end, min(zone.begin + zone.cap, length))
    elif pieces.kind[0] == BULGE:
        begin = max(begin, min(float(pieces.end[0]), float(pieces.centre_x[0])))
    if zone.tip is not None:
        begin, end = min(begin, max(length - zone.tip, 0.0)), length
    elif pieces.kind[-1] == BULGE:
        end = min(end, max(float(pieces.begin[-1]), float(pieces.centre_x[-1])))
    return begin, end


def _pieces(outline: Outline, top: Cubics, length: float, begin: float, end: float, zone: Zone) -> Pieces:
    """What the zone itself is made of, from `begin` to `end`."""
    low, high = begin, end
    parts: list[Pieces] = []
    last: list[Pieces] = []
    if zone.cap is not None:
        low = min(begin + zone.cap, end)
        if low > begin:
            parts.append(_rounded(low, begin, low, top.height_at(low) + zone.raised, zone.face))
    elif zone.raised > 0 and begin > 0:
        low, parts = _shoulder(outline, top, zone, begin, end, rising=True)
    if zone.tip is not None:
        high = max(end - zone.tip, low)
        if high < end:
            last.append(_rounded(high, high, end, top.height_at(high) + zone.raised, zone.face))
    elif zone.raised > 0 and end < length:
        high, last = _shoulder(outline, top, zone, begin, end, rising=False)
    if high - low > STEP:
        level = top.between(low, high)
        level = Cubics(**{**vars(level), "height": level.height + zone.raised})
        parts.append(level.pieces())
    return together(*parts, *last)


def _rounded(centre: float, begin: float, end: float, height: float, face: float) -> Pieces:
    """A head or a tip: from its full height an ellipse that falls to `face`, where it ends upright."""
    share = min(face / height, WIDEST_FACE)
    return cap(centre, begin, end, (end - begin) / math.sqrt(1 - share * share), height)


def _shoulder(
    outline: Outline, top: Cubics, zone: Zone, begin: float, end: float, *, rising: bool
) -> tuple[float, list[Pieces]]:
    """Where a collar's level part begins (or ends), and the two arcs that lead there from what lies beside the zone.

    At the foot a quarter circle with the plastic outside, then a quarter ellipse with it inside; upright where they
    meet, so that neither leaves an edge.
    """
    edge, way = (begin, 1.0) if rising else (end, -1.0)
    girth = top.height_at(edge)
    beside = float(outline.height_beside(np.array([edge]), later=not rising)[0])
    foot = min(beside, girth) if beside > 0 else girth
    round_ = FOOT * zone.raised
    run = min(SHOULDER * zone.raised, (end - begin) / 3 - round_)
    if run <= 0:
        return edge, []
    upright, level = edge + way * round_, edge + way * (round_ + run)
    height = top.height_at(level) + zone.raised - foot - round_
    low, high = sorted((edge, upright))
    concave = _arc(BLEND, low, high, edge, foot + round_, round_, round_)
    low, high = sorted((upright, level))
    convex = _arc(BULGE, low, high, level, foot + round_, run, height)
    return level, [concave, convex] if rising else [convex, concave]


def _arc(
    kind: int, begin: float, end: float, centre_x: float, centre_y: float, half_length: float, half_height: float
) -> Pieces:
    values = (begin, end, centre_x, centre_y, half_length, half_height, 0.0, 0.0, 0.0)
    return Pieces(np.array([kind]), *(np.array([value]) for value in values))


def _clipped(pieces: Pieces, low: float, high: float) -> Pieces:
    kept = np.flatnonzero((pieces.end > low + 1e-9) & (pieces.begin < high - 1e-9))
    part = pieces.take(kept)
    parts = {name: getattr(part, name) for name in Pieces.__dataclass_fields__}
    return Pieces(**{**parts, "begin": np.maximum(part.begin, low), "end": np.minimum(part.end, high)})


def _crests_and_gaps(outline: Outline, own: Outline, begin: float, end: float) -> tuple[tuple[Array, Array], Gaps]:
    """The crests and gaps that are left, the zone's own thickest place among the crests."""
    thickest = _thickest(own)
    marks_x, marks_y = outline.crest_x, outline.crest_y
    free = (marks_x < begin - STEP) | (marks_x > end + STEP)
    x, y = np.append(marks_x[free], thickest[0]), np.append(marks_y[free], thickest[1])
    order = np.argsort(x, kind="stable")
    x, y = x[order], y[order]
    if len(outline.gaps.station) == 0:
        return (x, y), outline.gaps
    kept = [each for gap in range(len(outline.gaps.station)) for each in _left_of(outline, own, gap, begin, end)]
    gaps = _gaps(outline.gaps, kept)
    if not kept:
        return (x, y), gaps
    # Between two gaps there is one crest: the highest of what is left there.
    interval = np.searchsorted(gaps.station, x)
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
    """What is left of a gap of the outline before: its station, height, and where its core shows."""

    gap: int
    station: float
    height: float
    joined: bool
    floor: tuple[float, float] = (0.0, 0.0)


def _left_of(outline: Outline, own: Outline, gap: int, begin: float, end: float) -> Iterator[_Left]:
    """What a zone leaves of a gap: all, the foot of an upright face on either side, or nothing."""
    gaps = outline.gaps
    station = float(gaps.station[gap])
    floor = (float(gaps.floor_begin[gap]), float(gaps.floor_end[gap]))
    if not begin - STEP < station < end + STEP:
        kept = (max(floor[0], end), floor[1]) if station > end else (floor[0], min(floor[1], begin))
        yield _Left(gap, station, float(gaps.height[gap]), bool(gaps.joined[gap]), kept)
        return
    if begin - float(outline.crest_x[gap]) > STEP:
        kept = (floor[0], min(floor[1], begin))
        yield from _foot(outline, own, _Left(gap, begin, 0.0, False, kept), later=False)
    if float(outline.crest_x[gap + 1]) - end > STEP:
        kept = (max(floor[0], end), floor[1])
        yield from _foot(outline, own, _Left(gap, end, 0.0, False, kept), later=True)


def _foot(outline: Outline, own: Outline, left: _Left, *, later: bool) -> Iterator[_Left]:
    """The gap at a zone's border, where the outline beside it lies lower than the zone; none where it does not."""
    border = left.station
    beside = float(outline.height_beside(np.array([border]), later=later)[0])
    inside = float(own.height(np.array([border + (-STEP if later else STEP)]))[0])
    if beside <= STEP:  # beads that part: the void begins at the zone's border
        yield replace(left, station=(border + _next_piece(outline, border, later=later)) / 2)
    elif beside < inside - STEP:
        yield replace(left, height=beside, joined=True)


def _next_piece(outline: Outline, border: float, *, later: bool) -> float:
    pieces = outline.pieces
    if later:
        return float(pieces.begin[pieces.begin > border - STEP].min(initial=border + 1.0))
    return float(pieces.end[pieces.end < border + STEP].max(initial=border - 1.0))


def _gaps(before: Gaps, left: list[_Left]) -> Gaps:
    floor = np.array([each.floor for each in left]).reshape(-1, 2)
    shows = floor[:, 1] - floor[:, 0] > STEP
    return Gaps(
        np.array([each.station for each in left]),
        np.array([each.height for each in left]),
        np.array([each.joined for each in left], dtype=bool),
        before.on_floor[np.array([each.gap for each in left], dtype=np.int64)] & shows,
        floor[:, 0],
        np.maximum(floor[:, 1], floor[:, 0]),
    )
