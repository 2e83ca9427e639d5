"""A plain strand with a fish's nose: the first part of an ellipse that runs on into the girth behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from worker.strands.cubics import Cubics
from worker.strands.girth import Girth
from worker.strands.outline import BULGE, Outline, Outlines, Pieces
from worker.strands.plain import cap, no_gaps, together


@dataclass(frozen=True)
class Streamlined:
    """`head` mm of half an ellipse that would be `nose` mm long, then the girth, then a rounded `end`, 0 a flat one.

    The ellipse is as high as the girth where they meet. Where the girth goes on as it would, nothing shows there.
    """

    nose: float
    head: float
    end: float

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief."""
        return girth.outlines(length, lambda top: self._outline(top, length))

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same: there is no relief to leave out."""
        return self.outlines(girth, length)

    def _outline(self, top: Cubics, length: float) -> Outline:
        last, left = length - self.end, 1 - self.head / self.nose
        height = top.height_at(self.head) / math.sqrt(1 - left * left)
        values = (0.0, self.head, self.nose, 0.0, self.nose, height, 0.0, 0.0, 0.0)
        first = Pieces(np.array([BULGE]), *(np.array([value]) for value in values))
        parts = [first, top.between(self.head, last).pieces()]
        if self.end > 0:
            parts.append(cap(last, last, length, self.end, top.height_at(last)))
        inner = top.begin[(top.begin > self.head) & (top.begin < last)]
        marks = np.concatenate([[self.head], inner, [last]])
        return Outline(together(*parts), marks, top.heights(marks), no_gaps(), 0.0)

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        return f"A body of {girth:.3g} mm has a neck of {across:.3g} mm"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {"kind": "streamlined", "nose": self.nose, "head": self.head, "end": self.end}
