"""The relief of a waist: level grips at both ends, a level gauge between them, and two tangent arcs from each to it.

From the middle of the arc that leaves the gauge (radius R, material outside of it) to that of the arc that enters the
grip (radius r, material inside) it is R + r. An arc leaves its level part upright above or below its middle, so with a
drop h from grip to gauge the two middles lie R + r - h apart in height and, by Pythagoras, sqrt(2 (R + r) h - h^2)
along the bar.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from worker.strands.cubics import Cubics
from worker.strands.girth import Girth
from worker.strands.outline import BLEND, BULGE, CURVE, Gaps, Outline, Outlines, Pieces
from worker.strands.plain import Plain, capped


@dataclass(frozen=True)
class Waist:
    """A gauge `width` mm wide and `length` mm long in the middle of a strand whose girth is that of the grips.

    `fillet`: radius of the arcs beside the gauge, mm; `shoulder`: of those beside the grips. The ends are flat.
    """

    width: float
    length: float
    fillet: float
    shoulder: float

    @property
    def ends(self) -> tuple[float, float]:
        """Lengths of the rounded ends, mm: there are none."""
        return 0.0, 0.0

    def way(self, grip: float) -> float:
        """Length along the bar from a grip `grip` mm wide to the gauge, mm. Raises ValueError where no arcs join them.

        Beyond a quarter turn of both arcs (a drop of more than their two radii together) there would be a step.
        """
        drop, reach = (grip - self.width) / 2, self.fillet + self.shoulder
        if not 0 < drop <= reach:
            raise ValueError(f"arcs of {reach:g} mm together do not join a drop of {drop:g} mm")
        return math.sqrt(drop * (2 * reach - drop))

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief. Only its width has a waist. Raises ValueError as `way` does."""
        back = capped(girth.backs(length), length, self.ends)
        belly = back if girth.even else capped(girth.bellies(length), length, self.ends)
        return Outlines(self._side(girth.half_widths(length), length), back, belly)

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The bar without its waist: as wide as its grips."""
        return Plain(self.ends).outlines(girth, length)

    def _side(self, top: Cubics, length: float) -> Outline:
        high, low = top.height_at(0.0), self.width / 2
        way = self.way(2 * high)
        begin, end = (length - self.length) / 2, (length + self.length) / 2
        front, rear = begin - way, end + way
        turn = way * self.shoulder / (self.fillet + self.shoulder)
        line, arc, hollow = CURVE, BULGE, BLEND
        rise, dip = high - self.shoulder, low + self.fillet
        # kind, begin, end, middle along, middle up, radius
        rows = (
            (line, 0.0, front, 0.0, high, 0.0),
            (arc, front, front + turn, front, rise, self.shoulder),
            (hollow, front + turn, begin, begin, dip, self.fillet),
            (line, begin, end, begin, low, 0.0),
            (hollow, end, rear - turn, end, dip, self.fillet),
            (arc, rear - turn, rear, rear, rise, self.shoulder),
            (line, rear, length, rear, high, 0.0),
        )
        kind, *columns = zip(*rows, strict=True)
        first, last, along, up, radius = (np.array(column) for column in columns)
        none = np.zeros(len(rows))
        pieces = Pieces(np.array(kind, dtype=np.int64), first, last, along, up, radius, radius, none, none, none)
        yes, no = np.ones(1, dtype=bool), np.zeros(1, dtype=bool)
        middle, floor = np.array([length / 2]), (np.array([begin]), np.array([end]))
        gaps = Gaps(middle, np.array([low]), yes, no, *floor, level=yes)
        return Outline(pieces, np.array([0.0, length]), np.array([high, high]), gaps, self.fillet)

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        return f"Grips of {girth:.3g} mm narrow to a gauge of {math.pi / 4 * across * across:.3g} mm2"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {
            "kind": "waist",
            "width": self.width,
            "length": self.length,
            "fillet": self.fillet,
            "shoulder": self.shoulder,
        }
