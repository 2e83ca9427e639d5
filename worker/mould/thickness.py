"""How thick a cavity is, where, and from which side that place can be fed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import distance_transform_edt, maximum_filter1d

from worker.mould.columns import Columns, Mask
from worker.strands.roots import Array

LEAST_GATE = 3.0
"""Least side of a gate, mm: common practice, no source."""
MOST_GATE = 0.6
"""Depth of a gate over the thickness that it feeds, from which the scar is large: common practice, no source."""
LEAST_SHARE = 0.3
"""Area of a gate over the section that it feeds, under which the bait may not fill in time: common practice, no source.
"""
AS_GOOD = 0.9
"""Share of the greatest thickness from which a place counts as the thickest: the middle one of them is fed."""
BESIDE = 2.0
"""Mould left beside a runner, mm, on its way to the gate."""
BUMP = 1.5
"""How far beads and ribs beside a gate may stand out beyond the place that it feeds, mm."""
EVERY = 3
"""Of so many lines one is tried: a gate is many times as wide."""
SIDES = {"left": 0, "right": 2, "nose": 3, "tail": 1}
"""Quarter turns, counter-clockwise, that bring this side of the cavity to face +y."""


@dataclass(frozen=True)
class Feed:
    """Where a gate can stand, in the cavity turned by `quarter`: it faces +y there.

    `x` along the side, `edge` the y of the cavity's outline there, `into` the y that the gate reaches, `thickness` of
    the ball that fits close behind it, `along`: over how much of the side, mm, a gate can be as deep as any may, and
    `area` (mm2) of the bait's section there, square to the line from nose to tail.
    """

    side: str
    quarter: int
    x: float
    edge: float
    into: float
    thickness: float
    along: float
    area: float


@dataclass(frozen=True)
class Thickness:
    """`ball`: plan of the diameter of the ball that fits, `tall`: of the longest stretch of plastic; mm."""

    columns: Columns
    ball: Array
    tall: Array

    @property
    def thickest(self) -> float:
        """Diameter of the greatest ball, mm."""
        return float(self.ball.max())

    @property
    def thickest_area(self) -> float:
        """Section there, square to the line from nose to tail, mm2."""
        row, line = np.unravel_index(int(np.argmax(self.ball)), self.ball.shape)
        first, last = _run(self.tall[row] > 0, int(line))
        return float(self.tall[row, first : last + 1].sum()) * self.columns.cell


def thickness_of(columns: Columns) -> Thickness:
    """Of a cavity's columns. The ball is the lesser of the longest stretch of each line and the plan's reach there."""
    first = columns.first
    tall = np.zeros(columns.shape[0] * columns.shape[1])
    tall[columns.line[first]] = np.maximum.reduceat(columns.high - columns.low, first)
    tall = tall.reshape(columns.shape)
    wide = (2 * distance_transform_edt(tall > 0) - 1) * columns.cell
    return Thickness(columns, np.minimum(tall, wide), tall)


def feed_of(
    thickness: Thickness, gate_at: str, runner: float, share: float, sides: Iterable[str] = tuple(SIDES)
) -> Feed:
    """The best place for a gate; `runner`: the radius of the channel that leads there, mm; `share` of
    the thickness that the gate is deep.

    thickest: at the left or right where the thickest place can be reached, else where the thickest of what can, on one
    of the `sides`.
    """
    if gate_at != "thickest":
        return _best(thickness, gate_at, runner, share)
    feeds = [_best(thickness, side, runner, share) for side in sides]
    most = max(feed.thickness for feed in feeds)
    return next(feed for feed in feeds if feed.thickness >= AS_GOOD * most)


def _best(thickness: Thickness, side: str, runner: float, share: float) -> Feed:
    """On one side, the place with the thickest behind it that nothing stands in front of."""
    quarter, columns = SIDES[side], thickness.columns
    ball, tall = (np.rot90(plan, quarter) for plan in (thickness.ball, thickness.tall))
    xs, ys = turned_lines(columns, quarter)
    rows = np.flatnonzero((ball > 0).any(axis=1))[::EVERY]
    ends = np.array([_outermost(ball[row] > 0) for row in rows])
    # What is fed lies close behind the gate, not at the other end of the bait.
    starts = np.maximum(ends[:, 0], ends[:, 1] - round(thickness.thickest / columns.cell))
    middles = np.array(
        [start + ball[row, start : end + 1].argmax() for row, start, end in zip(rows, starts, ends[:, 1], strict=True)]
    )
    behind = ball[rows, middles]
    edge = ys[ends[:, 1]]
    reach = max(1, round((runner + BESIDE) / columns.cell))
    outline = np.full(int(rows[-1]) + 1, -np.inf)
    outline[rows] = edge
    in_front = maximum_filter1d(outline, 2 * reach + 1, mode="constant", cval=-np.inf)[rows]
    behind = np.where(in_front <= edge + BUMP, behind, 0.0)
    good = np.flatnonzero(behind >= AS_GOOD * behind.max())
    if quarter % 2 == 0:
        # Of places as thick as each other the widest: on a flat bar that is the grip and not the gauge.
        summed = np.pad(np.cumsum(tall, axis=1), ((0, 0), (1, 0)))
        areas = summed[rows[good], ends[good, 1] + 1] - summed[rows[good], ends[good, 0]]
        good = good[areas >= AS_GOOD * areas.max()]
    centre = float((xs[:, None] * tall).sum() / tall.sum())
    talls = np.array(
        [tall[row, start : end + 1].max() for row, start, end in zip(rows, starts, ends[:, 1], strict=True)]
    )
    offers = [_offered(talls, edge, int(each), behind[each]) for each in good]
    room = np.array([min(each - first, last - each) for each, (first, last) in zip(good, offers, strict=True)])
    # Not at the very end of a stretch that has room for a gate.
    roomy = room * EVERY * columns.cell >= min(
        AS_GOOD * float(room.max()) * EVERY * columns.cell, thickness.thickest / 2
    )
    good, room = good[roomy], room[roomy]
    nearest = int(np.argmin(np.abs(xs[rows[good]] - centre)))
    pick, along = int(good[nearest]), float((2 * room[nearest] + 1) * EVERY * columns.cell)
    row, middle = int(rows[pick]), int(middles[pick])
    section, at = (tall[row], middle) if quarter % 2 == 0 else (tall[:, middle], row)
    first, last = _run(section > 0, at)
    area = float(section[first : last + 1].sum()) * columns.cell
    # The gate ends where it has plastic over all of its depth: further in there may be a core or a slot.
    deep = np.flatnonzero(tall[row, middle : ends[pick, 1]] >= max(share * behind[pick], LEAST_GATE))
    into = middle + int(deep[-1]) if len(deep) else middle
    return Feed(side, quarter, float(xs[row]), float(edge[pick]), float(ys[into]), float(behind[pick]), along, area)


def _offered(tall: Array, edge: Array, at: int, thick: float) -> tuple[int, int]:
    """First and last row around one of them where plastic lies as deep as a gate may be that feeds it, and none stands
    out in the way of one.
    """
    return _run((tall >= MOST_GATE * thick) & (edge <= edge[at] + BUMP), at)


def turned_lines(columns: Columns, quarter: int) -> tuple[Array, Array]:
    """Where the rows and columns of the turned plan stand, mm."""
    x = np.asarray(columns.x0 + columns.cell * np.arange(columns.shape[0]), dtype=np.float64)
    y = np.asarray(columns.y0 + columns.cell * np.arange(columns.shape[1]), dtype=np.float64)
    return ((x, y), (-y[::-1], x), (-x[::-1], -y[::-1]), (y, -x[::-1]))[quarter]


def _outermost(row: Mask) -> tuple[int, int]:
    """First and last place of the row's last unbroken run."""
    end = int(np.flatnonzero(row)[-1])
    gaps = np.flatnonzero(~row[:end])
    return (int(gaps[-1]) + 1 if len(gaps) else 0), end


def _run(row: Mask, at: int) -> tuple[int, int]:
    """First and last place of the unbroken run around one of its places."""
    before, after = np.flatnonzero(~row[:at]), np.flatnonzero(~row[at:])
    return (int(before[-1]) + 1 if len(before) else 0), (at + int(after[0]) - 1 if len(after) else len(row) - 1)
