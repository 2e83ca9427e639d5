"""A slab: a short way through something broad, flat at both faces, its rim rounded: a paddle, a disc."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from worker.strands.cubics import Cubics
from worker.strands.girth import Girth
from worker.strands.outline import BULGE, Outline, Outlines, Pieces
from worker.strands.plain import no_gaps, together


@dataclass(frozen=True)
class Slab:
    """`edge`: radius of the round between each face and the rim, mm; at most half the length."""

    edge: float

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief."""
        return girth.outlines(length, lambda top: self._outline(top, length))

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same: there is no relief to leave out."""
        return self.outlines(girth, length)

    def _outline(self, top: Cubics, length: float) -> Outline:
        first, last = self.edge, length - self.edge
        parts = [self._round(first, 0.0, first, top.height_at(first))]
        if last - first > 1e-9:
            parts.append(top.between(first, last).pieces())
        parts.append(self._round(last, last, length, top.height_at(last)))
        marks = np.array([first, last])
        return Outline(together(*parts), marks, top.heights(marks), no_gaps(), 0.0)

    def _round(self, centre: float, begin: float, end: float, height: float) -> Pieces:
        values = (begin, end, centre, height - self.edge, self.edge, self.edge, 0.0, 0.0, 0.0)
        return Pieces(np.array([BULGE]), *(np.array([value]) for value in values))

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        return f"A disc of {girth:.3g} mm has a neck of {across:.3g} mm"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {"kind": "slab", "edge": self.edge}
