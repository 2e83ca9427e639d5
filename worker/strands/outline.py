"""An outline: half the silhouette of a strand laid straight, as exact pieces (elliptic arcs, blend arcs, lines).

Built once, read by everything: heights for sections, necks for joints, stations for rings. Nothing is sampled here, so
a neck in an estimate and a neck in a build are the same number.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from worker.strands.roots import Array

CURVE, BULGE, BLEND = 0, 1, -1
"""Kinds of a piece: a cubic (a line among them); an arc with the material below it; one with the material outside."""


@dataclass(frozen=True)
class Pieces:
    """Pieces in order along x, one element a piece; where a piece ends and the next begins higher or lower is a wall.

    Arcs: centre and semi-axes. Curves, u being the way from `centre_x`: centre_y + slope u + second u^2 + third u^3.
    """

    kind: NDArray[np.int64]
    begin: Array
    end: Array
    centre_x: Array
    centre_y: Array
    half_length: Array
    half_height: Array
    slope: Array
    second: Array
    third: Array

    @classmethod
    def fields(cls) -> tuple[str, ...]:
        """Names of the arrays."""
        return tuple(cls.__dataclass_fields__)

    def take(self, which: NDArray[np.int64]) -> Pieces:
        """The pieces `which`, in that order."""
        return Pieces(*(getattr(self, name)[which] for name in self.__dataclass_fields__))

    def between(self, low: float, high: float) -> Pieces:
        """The parts of the pieces from `low` to `high`."""
        part = self.take(np.flatnonzero((self.end > low + 1e-9) & (self.begin < high - 1e-9)))
        return replace(part, begin=np.maximum(part.begin, low), end=np.minimum(part.end, high))

    @cached_property
    def _scale(self) -> Array:
        return np.where(self.kind == CURVE, 1.0, self.half_length)

    @cached_property
    def _shapes(self) -> tuple[Array, bool, bool, bool]:
        """What heights are made of, a column a piece; whether any piece is an arc, any is a curve, and any curve bends.

        One gathering of the columns is several times cheaper than one of every array, and of few of them than of many.
        """
        curved = self.kind == CURVE
        arcs, curves = not bool(curved.all()), bool(curved.any())
        bends = curves and bool((curved & ((self.second != 0) | (self.third != 0))).any())
        parts = [self.centre_x, self.centre_y]
        if arcs:
            parts += [self._scale, self.kind * self.half_height]
        if curves:
            parts += [
                np.where(curved, part, 0.0) for part in (self.slope, self.second, self.third)[: 3 if bends else 1]
            ]
        return np.stack(parts), arcs, curves, bends

    def height(self, piece: NDArray[np.int64], x: Array) -> Array:
        """Height of `piece` at `x`."""
        columns, arcs, curves, bends = self._shapes
        # One piece needs no gathering.
        centre_x, centre_y, *shape = columns[:, 0].tolist() if columns.shape[1] == 1 else columns.take(piece, axis=1)
        away = x - centre_x
        if curves:
            slope = shape[2 if arcs else 0]
            over = away * (slope + away * (shape[-2] + away * shape[-1])) if bends else away * slope
        if arcs:
            share = away / shape[0]
            arc = shape[1] * np.sqrt(np.maximum(1.0 - share * share, 0.0))
            over = arc if not curves else over + arc
        return np.asarray(centre_y + over)

    def rise(self, piece: NDArray[np.int64], x: Array) -> Array:
        """Slope of `piece` at `x`; capped where an arc stands upright."""
        kind, away = self.kind[piece], x - self.centre_x[piece]
        a = self._scale[piece]
        share = away / a
        root = np.sqrt(np.maximum(1.0 - share * share, 1e-18))
        curve = self.slope[piece] + away * (2 * self.second[piece] + 3 * away * self.third[piece])
        return np.where(kind == CURVE, curve, -kind * self.half_height[piece] / a * share / root)


@dataclass(frozen=True)
class Gaps:
    """What lies between each hump and the next, one element a gap. `height` is the half-thickness of the neck.

    `sharp`: necks at the foot of an upright face that no ball has rounded; none where it is left out.
    `level`: necks that are level from `floor_begin` to `floor_end` although no core shows; none where it is left out.
    """

    station: Array
    height: Array
    joined: NDArray[np.bool_]
    on_floor: NDArray[np.bool_]
    floor_begin: Array
    floor_end: Array
    sharp: NDArray[np.bool_] | None = None
    level: NDArray[np.bool_] | None = None


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
        middle = (pieces.begin + pieces.end) / 2  # not the begins: beads that only touch leave no room between two
        for gap in cut:
            after = int(np.searchsorted(middle, self.gaps.station[gap]))
            ends.append(float(pieces.end[after - 1]))
            begins.append(float(pieces.begin[after]))
        return list(zip(begins, [*ends, float(pieces.end[-1])], strict=True))

    @property
    def blends(self) -> Array:
        """Radius of the round at each gap's neck, mm."""
        sharp, count = self.gaps.sharp, len(self.gaps.station)
        return np.full(count, self.blend) if sharp is None else np.where(sharp, 0.0, self.blend)

    def piece_at(self, x: Array) -> NDArray[np.int64]:
        """Index of the piece that holds each x; at a wall the one after it (stations come rounded to 1e-9)."""
        # Of all begins but the first those that are passed: never below the first piece nor past the last.
        return self._later.searchsorted(x + 2e-9, side="right")

    def height(self, x: Array) -> Array:
        """Half-thickness at each x; 0 outside of every piece."""
        piece = self.piece_at(x)
        low, high = self._bounds
        if self._unbroken:
            inside = (x >= low[0]) & (x <= high[-1])
        else:
            inside = (x >= low[piece]) & (x <= high[piece])
        return np.where(inside, self.pieces.height(piece, x), 0.0)

    @cached_property
    def _later(self) -> Array:
        """Where every piece but the first begins."""
        return self.pieces.begin[1:]

    @cached_property
    def _bounds(self) -> tuple[Array, Array]:
        """From where to where each piece reaches, to a rounding."""
        return self.pieces.begin - 1e-7, self.pieces.end + 1e-7

    @cached_property
    def _unbroken(self) -> bool:
        """Whether every piece ends where the next begins: then what lies between the first and the last is inside."""
        begin, end = self.pieces.begin, self.pieces.end
        return bool((begin[1:] <= end[:-1] + 1e-7).all()) and bool((np.diff(begin) >= 0).all())

    def height_beside(self, x: Array, *, later: bool) -> Array:
        """Half-thickness just before or, if `later`, just after each x: the two differ at a wall."""
        if later:
            return self.height(x)
        piece = self._later.searchsorted(x - 2e-9, side="left")
        return np.where(x <= self._bounds[1][piece], self.pieces.height(piece, x), 0.0)

    def stations(self, sag: float) -> Array:
        """Where rings have to stand so that no chord lies further than `sag` mm from an arc.

        Ends of pieces, crests and necks are always among them.
        """
        pieces = self.pieces
        found = [pieces.begin, pieces.end]
        arcs = np.flatnonzero(pieces.kind != CURVE)
        first = _angle(((pieces.centre_x - pieces.begin) / np.maximum(pieces.half_length, 1e-12))[arcs])
        last = _angle(((pieces.centre_x - pieces.end) / np.maximum(pieces.half_length, 1e-12))[arcs])
        a, b, middle = pieces.half_length[arcs], pieces.half_height[arcs], pieces.centre_x[arcs]
        # An ellipse is a stretched circle, so a chord's sag is at most the larger semi-axis times the circle's.
        step = 2 * _angle(1 - sag / np.maximum(a, b))
        upright = np.clip(math.pi / 2, first, last)
        low, high = np.concatenate([first, upright]), np.concatenate([upright, last])
        real = high - low > 1e-9
        which = np.tile(np.arange(len(arcs)), 2)[real]
        part, angle = _evenly(low[real], high[real], (high - low)[real] / step[which], least=2)
        found.append(middle[which[part]] - a[which[part]] * np.cos(angle))
        found.append(self._along_curves(sag))
        return np.unique(np.round(np.concatenate(found), 9))

    def _along_curves(self, sag: float) -> Array:
        """Stations on cubics: a chord of length h sags by at most h^2 / 8 times the greatest second derivative."""
        pieces = self.pieces.take(np.flatnonzero(self.pieces.kind == CURVE))
        begin, end = pieces.begin - pieces.centre_x, pieces.end - pieces.centre_x
        bend = 2 * np.maximum(
            np.abs(pieces.second + 3 * begin * pieces.third), np.abs(pieces.second + 3 * end * pieces.third)
        )
        # A bent piece has a ring between its ends, which the solid moves so that the piece keeps its volume.
        least = np.where(bend > 0, 2, 1)
        _, station = _evenly(pieces.begin, pieces.end, (end - begin) * np.sqrt(bend / (8 * sag)), least)
        return station


class Outlines(NamedTuple):
    """A strand's three: half-widths, and reach to the back and to the belly. Equal ones are one object."""

    side: Outline
    back: Outline
    belly: Outline


def _evenly(low: Array, high: Array, steps: Array, least: int | NDArray[np.int64]) -> tuple[NDArray[np.int64], Array]:
    """Points at even distances from each `low` to each `high`, `steps` rounded up: which stretch, and where."""
    # Rounded up from a hair less, so that the last bit of a step never decides how many rings there are.
    count = np.maximum(least, np.ceil(steps - 1e-9)).astype(np.int64)
    part = np.repeat(np.arange(len(low)), count)
    place = np.arange(len(part)) - np.repeat(np.cumsum(count) - count, count)
    return part, low[part] + (high - low)[part] * (place / count[part])


def _angle(cosine: Array) -> Array:
    """Arc cosine by the arc tangent, whose last bit does not change with the processor as NumPy's arc cosine's does."""
    inside = np.clip(cosine, -1.0, 1.0)
    return np.arctan2(np.sqrt(1.0 - inside * inside), inside)
