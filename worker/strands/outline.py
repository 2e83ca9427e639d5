"""An outline: half the silhouette of a strand laid straight, as exact pieces (elliptic arcs, blend arcs, lines).

Built once, read by everything: heights for sections, necks for joints, stations for rings. Nothing is sampled here, so
a neck in an estimate and a neck in a build are the same number.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from worker.strands.roots import Array

LINE, BULGE, BLEND = 0, 1, -1
"""Kinds of a piece: straight; an arc with the material below it; an arc with the material outside of it."""


@dataclass(frozen=True)
class Pieces:
    """Pieces in order along x, one element a piece; where a piece ends and the next begins higher or lower is a wall.

    Arcs: centre and semi-axes. Lines: `centre` is their first point, `slope` their rise over their run.
    """

    kind: NDArray[np.int64]
    begin: Array
    end: Array
    centre_x: Array
    centre_y: Array
    half_length: Array
    half_height: Array
    slope: Array

    def take(self, which: NDArray[np.int64]) -> Pieces:
        """The pieces `which`, in that order."""
        return Pieces(*(getattr(self, name)[which] for name in self.__dataclass_fields__))

    @cached_property
    def _scale(self) -> Array:
        return np.where(self.kind == LINE, 1.0, self.half_length)

    def height(self, piece: NDArray[np.int64], x: Array) -> Array:
        """Height of `piece` at `x`."""
        kind, away = self.kind[piece], x - self.centre_x[piece]
        share = away / self._scale[piece]
        arc = self.half_height[piece] * np.sqrt(np.maximum(1.0 - share * share, 0.0))
        return np.where(
            kind == LINE, self.centre_y[piece] + self.slope[piece] * away, self.centre_y[piece] + kind * arc
        )

    def rise(self, piece: NDArray[np.int64], x: Array) -> Array:
        """Slope of `piece` at `x`; capped where an arc stands upright."""
        kind, away = self.kind[piece], x - self.centre_x[piece]
        a = self._scale[piece]
        share = away / a
        root = np.sqrt(np.maximum(1.0 - share * share, 1e-18))
        return np.where(kind == LINE, self.slope[piece], -kind * self.half_height[piece] / a * share / root)


@dataclass(frozen=True)
class Gaps:
    """What lies between each hump and the next, one element a gap. `height` is the half-thickness of the neck."""

    station: Array
    height: Array
    joined: NDArray[np.bool_]
    on_floor: NDArray[np.bool_]
    floor_begin: Array
    floor_end: Array


@dataclass(frozen=True)
class Outline:
    """Pieces, the runs of x that they cover without a break, the crests, and the gaps between the crests."""

    pieces: Pieces
    crest_x: Array
    crest_y: Array
    gaps: Gaps
    blend: float

    @cached_property
    def runs(self) -> list[tuple[float, float]]:
        """First and last x of each connected stretch: one for a bait in one piece."""
        cut = np.flatnonzero(~self.gaps.joined)
        pieces = self.pieces
        begins = [float(pieces.begin[0])]
        ends: list[float] = []
        for gap in cut:
            after = int(np.searchsorted(pieces.begin, self.gaps.station[gap]))
            ends.append(float(pieces.end[after - 1]))
            begins.append(float(pieces.begin[after]))
        return list(zip(begins, [*ends, float(pieces.end[-1])], strict=True))

    def piece_at(self, x: Array) -> NDArray[np.int64]:
        """Index of the piece that holds each x; at a wall the one after it (stations come rounded to 1e-9)."""
        return np.clip(np.searchsorted(self.pieces.begin, x + 2e-9, side="right") - 1, 0, len(self.pieces.begin) - 1)

    def height(self, x: Array) -> Array:
        """Half-thickness at each x; 0 outside of every piece."""
        piece = self.piece_at(x)
        inside = (x >= self.pieces.begin[piece] - 1e-7) & (x <= self.pieces.end[piece] + 1e-7)
        return np.where(inside, self.pieces.height(piece, x), 0.0)

    def height_beside(self, x: Array, *, later: bool) -> Array:
        """Half-thickness just before or, if `later`, just after each x: the two differ at a wall."""
        if later:
            return self.height(x)
        piece = np.clip(np.searchsorted(self.pieces.begin, x - 2e-9, side="left") - 1, 0, len(self.pieces.begin) - 1)
        return np.where(x <= self.pieces.end[piece] + 1e-7, self.pieces.height(piece, x), 0.0)

    def stations(self, sag: float) -> Array:
        """Where rings have to stand so that no chord lies further than `sag` mm from an arc.

        Ends of pieces, crests and necks are always among them.
        """
        pieces = self.pieces
        found = [pieces.begin, pieces.end]
        arcs = np.flatnonzero(pieces.kind != LINE)
        first = _angle(((pieces.centre_x - pieces.begin) / np.maximum(pieces.half_length, 1e-12))[arcs])
        last = _angle(((pieces.centre_x - pieces.end) / np.maximum(pieces.half_length, 1e-12))[arcs])
        a, b, middle = pieces.half_length[arcs], pieces.half_height[arcs], pieces.centre_x[arcs]
        # An ellipse is a stretched circle, so a chord's sag is at most the larger semi-axis times the circle's.
        step = 2 * _angle(1 - sag / np.maximum(a, b))
        upright = np.clip(math.pi / 2, first, last)
        low, high = np.concatenate([first, upright]), np.concatenate([upright, last])
        real = high - low > 1e-9
        low, high = low[real], high[real]
        which = np.tile(np.arange(len(arcs)), 2)[real]
        # Rounded up from a hair less, so that the last bit of an arc cosine never decides how many rings there are.
        count = np.maximum(2, np.ceil((high - low) / step[which] - 1e-9)).astype(np.int64)
        span = np.repeat(np.arange(len(low)), count)
        place = np.arange(len(span)) - np.repeat(np.cumsum(count) - count, count)
        angle = low[span] + (high - low)[span] * (place / count[span])
        found.append(middle[which[span]] - a[which[span]] * np.cos(angle))
        return np.unique(np.round(np.concatenate(found), 9))


def _angle(cosine: Array) -> Array:
    """Arc cosine by the arc tangent, whose last bit does not change with the processor as NumPy's arc cosine's does."""
    inside = np.clip(cosine, -1.0, 1.0)
    return np.arctan2(np.sqrt(1.0 - inside * inside), inside)
