"""The relief of rings: shallow round grooves, the same to nose and tail, and level lands between them.

A groove is three arcs of one radius: down over the edge of a land, through the bottom, up over the next edge. From
(R - depth)^2 = R^2 - half^2, R the two radii from the middle of an edge's arc to that of the bottom, a groove `depth`
deep and `2 half` wide is made of arcs of (half^2 + depth^2) / (4 depth).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from worker.strands.closing import close, hides_one
from worker.strands.cubics import Cubics
from worker.strands.girth import Girth
from worker.strands.inset import inset
from worker.strands.outline import Outline, Outlines
from worker.strands.plain import Plain
from worker.strands.rounded_humps import RoundedHumps

GROOVE = 0.5
"""Width of a groove over the pitch, where it is not too deep for that (judgement)."""
STEEPEST = 1.15
"""Least half-width of a groove over its depth: its sides then stand at under 83 degrees (judgement)."""
LEAST_LAND = 0.1
"""Least land between two grooves over the pitch (judgement)."""


@dataclass(frozen=True)
class Rings:
    """`count` grooves, their bottoms `pitch` mm apart from `begin` (mm from the root), each `depth` mm deep.

    `ends`: lengths of the strand's own rounded ends, mm; 0 is flat.
    """

    count: int
    pitch: float
    depth: float
    begin: float
    ends: tuple[float, float]

    @property
    def half(self) -> float:
        """Half the width of a groove, mm."""
        return max(GROOVE * self.pitch / 2, STEEPEST * self.depth)

    @property
    def round(self) -> float:
        """Radius of a groove's bottom and of its edges, mm."""
        return (self.half * self.half + self.depth * self.depth) / (4 * self.depth)

    @staticmethod
    def deepest(pitch: float) -> float:
        """The deepest grooves that leave a land between them at that pitch, mm."""
        return (1 - LEAST_LAND) * pitch / (2 * STEEPEST)

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief."""
        return girth.outlines(length, lambda top: self._outline(top, length))

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same girth without rings."""
        return Plain(self.ends).outlines(girth, length)

    def hides_one(self, girth: Girth, length: float) -> bool:
        """Whether a groove is lost on a slope of the girth, so that `outlines` would raise closing.HumpsHidden."""
        tops = (girth.half_widths(length), girth.backs(length), girth.bellies(length))
        return any(hides_one(self._humps(top), self.round) for top in (tops[:1] if girth.round else tops))

    def _outline(self, top: Cubics, length: float) -> Outline:
        rear, front = self.begin - self.half, self.begin + (self.count - 1) * self.pitch + self.half
        return inset(close(self._humps(top), self.round), top, length, self.ends, rear, front)

    def _humps(self, top: Cubics) -> RoundedHumps:
        bottoms = self.begin + self.pitch * np.arange(self.count + 1, dtype=np.float64)
        # One land before each groove and one behind the last; both their ends lie on the girth.
        front, rear = bottoms - self.pitch + self.half, bottoms - self.half
        across, up = rear - front, top.heights(rear) - top.heights(front)
        chord = np.sqrt(across * across + up * up)
        lean, drop = self.round * up / chord, self.round * across / chord
        x = np.stack([front + lean, rear + lean], axis=1)
        y = np.stack([top.heights(front) - drop, top.heights(rear) - drop], axis=1)
        return RoundedHumps(x, y, np.full(self.count + 1, self.round))

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        return f"Rings {self.depth:.3g} mm deep in a girth of {girth:.3g} mm leave necks of {across:.3g} mm"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {
            "kind": "rings",
            "count": self.count,
            "pitch": self.pitch,
            "depth": self.depth,
            "begin": self.begin,
            "ends": list(self.ends),
        }
