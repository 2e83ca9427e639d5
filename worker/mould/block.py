"""The block around the cavities: walls, dowels, bolt holes, pry slots."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.mould.board import Board, Place
from worker.solid.shapes import Mesh, box, prism, turned
from worker.strands.roots import Array

DOWEL, DOWEL_LENGTH, DOWEL_DRAFT = 6.0, 6.0, 0.06
"""Diameter and length of a dowel, mm, and how much of its radius it loses per mm where it is part of the mould: 2 to 4
tapered pins of 4 to 6 mm with 0.1 to 0.3 mm clearance on the diameter are common practice, no source."""
CLEARANCE = 0.2
OFFSET = 4.0
"""How far one dowel is off the place that a half turned round would need it at, mm."""
BOLT = 5.5
"""Hole for an M5 bolt, mm: medium fit of ISO 273 (from memory)."""
CORNER, STRIP = 7.0, 14.0
"""How far bolts stand off the edges, and how wide the strip at each end is that holds them and the dowels, mm."""
LONGEST = 160.0
"""Longer blocks have bolts half-way too, mm (judgement)."""
PRY, PRY_DEPTH = 6.0, 2.0
"""Sides and depth of a slot at a corner for a lever, mm."""
NARROWEST = 42.0
BESIDE = 3.0
"""Least mould between a bolt or a dowel and what comes out of the block, mm (judgement)."""


@dataclass(frozen=True)
class Block:
    """From `low` to `high`, mm; the parting plane is z = 0. `bolts` and `dowels` are places on it."""

    low: tuple[float, float, float]
    high: tuple[float, float, float]
    bolts: tuple[Place, ...]
    dowels: tuple[Place, ...]
    cast: bool

    @property
    def size(self) -> tuple[float, float, float]:
        """Length, width and height of the closed mould, mm."""
        return tuple(high - low for low, high in zip(self.low, self.high, strict=True))  # type: ignore[return-value]

    @property
    def plain_board(self) -> Board:
        """Its face with nothing taken."""
        return Board(self.low[0], self.low[1], self.high[0], self.high[1])

    @property
    def board(self) -> Board:
        """Its face with bolts, dowels and pry slots taken."""
        board = self.plain_board
        for place in self.bolts:
            board.take_disc(place, BOLT / 2)
        for place in self.dowels:
            board.take_disc(place, DOWEL / 2 + CLEARANCE)
        for corner in self._pried():
            board.take_disc(corner[0], PRY)
        return board

    def lower_stock(self) -> list[Mesh]:
        """The lower half as it is before anything is cut, with the dowels that are part of it."""
        return [box(self.low, (self.high[0], self.high[1], 0.0)), *self.cast_dowels()]

    def cast_dowels(self) -> list[Mesh]:
        """The dowels that are part of the lower half."""
        if not self.cast:
            return []
        foot, tip = DOWEL / 2, DOWEL / 2 - DOWEL_DRAFT * DOWEL_LENGTH
        return [turned(at, [(-1.0, foot), (0.0, foot), (DOWEL_LENGTH, tip)]) for at in self.dowels]

    def upper_stock(self) -> list[Mesh]:
        """The upper half as it is before anything is cut."""
        return [box((self.low[0], self.low[1], 0.0), self.high)]

    def lower_cuts(self) -> list[Mesh]:
        """Bolt holes, and holes for dowels where those are bought."""
        cuts = self._bolt_holes()
        if not self.cast:
            cuts += [turned(at, [(-DOWEL_LENGTH, DOWEL / 2), (1.0, DOWEL / 2)]) for at in self.dowels]
        return cuts

    def upper_cuts(self) -> list[Mesh]:
        """Bolt holes, dowel holes with their clearance, pry slots."""
        wide = (DOWEL + CLEARANCE) / 2
        tip = wide - DOWEL_DRAFT * DOWEL_LENGTH if self.cast else wide
        deep = DOWEL_LENGTH + 1.0
        holes = [turned(at, [(-1.0, wide), (0.0, wide), (deep, tip)]) for at in self.dowels]
        return [*self._bolt_holes(), *holes, *(prism(corner, -1.0, PRY_DEPTH) for corner in self._pried())]

    def _bolt_holes(self) -> list[Mesh]:
        through = [(self.low[2] - 1, BOLT / 2), (self.high[2] + 1, BOLT / 2)]
        return [turned(at, through) for at in self.bolts]

    def _pried(self) -> list[list[Place]]:
        """Two opposite corners as triangles that run counter-clockwise, each reaching past the block."""
        (x0, y0, _), (x1, y1, _) = self.low, self.high
        return [
            [(x0 - 1, y0 - 1), (x0 + PRY + 1, y0 - 1), (x0 - 1, y0 + PRY + 1)],
            [(x1 + 1, y1 + 1), (x1 - PRY - 1, y1 + 1), (x1 + 1, y1 - PRY - 1)],
        ]


@dataclass(frozen=True)
class Line:
    """What comes out of the block straight along x (`axis` 0) or y (1): `at` on the other axis, `half` of its width."""

    axis: int
    at: float
    half: float


def block_around(
    inner: Array, heights: tuple[float, float], *, cast: bool, bolts: bool, lines: Sequence[Line] = ()
) -> Block:
    """The block over a plan from `inner[0]` to `inner[1]`, (2, 2), walls included; `heights`: below and above z = 0.

    Bolts and dowels keep off `lines`.
    """
    (x0, y0), (x1, y1) = np.floor(inner[0]).tolist(), np.ceil(inner[1]).tolist()
    more = max(0.0, NARROWEST - (y1 - y0)) / 2
    y0, y1 = y0 - more, y1 + more
    x0, x1 = x0 - STRIP, x1 + STRIP
    long = bolts and x1 - x0 > LONGEST
    if long:
        y0, y1 = y0 - STRIP, y1 + STRIP
    along = [line for line in lines if line.axis == 0]
    if bolts:
        keep = BESIDE + BOLT / 2 + CORNER
        y0 = min([y0, *(math.floor(line.at - line.half - keep) for line in along)])
        y1 = max([y1, *(math.ceil(line.at + line.half + keep) for line in along)])
    left, right, near, far = x0 + CORNER, x1 - CORNER, y0 + CORNER, y1 - CORNER
    places: list[Place] = []
    if bolts:
        places = [(left, near), (right, near), (left, far), (right, far)]
        across = [line for line in lines if line.axis == 1]
        middle = _clear((x0 + x1) / 2, (left, right), across, BOLT / 2)
        places += [(middle, near), (middle, far)] if long else []
    inward = far - (12.0 if bolts else 0.0)
    first = _clear(inward, (near, far), along, DOWEL / 2)
    second = _clear(y0 + y1 - first + OFFSET, (near, far), along, DOWEL / 2)
    if abs(second - (y0 + y1 - first)) < OFFSET / 2:
        second = _clear(second - OFFSET, (near, far), along, DOWEL / 2)
    below, above = heights
    return Block((x0, y0, -below), (x1, y1, above), tuple(places), ((left, first), (right, second)), cast)


def _clear(wanted: float, between: tuple[float, float], lines: Sequence[Line], half: float) -> float:
    """The place nearest to the one that is wanted that keeps off the lines; that one where there is none."""
    tried = sorted((wanted + step for step in range(-60, 61)), key=lambda place: (abs(place - wanted), place))
    for place in tried:
        free = all(abs(place - line.at) >= line.half + half + BESIDE for line in lines)
        if free and between[0] <= place <= between[1]:
            return place
    return wanted
