"""Strands without relief: the girth alone, with rounded, blunt or flat ends."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from worker.strands.cubics import Cubics
from worker.strands.girth import Girth
from worker.strands.outline import BULGE, Gaps, Outline, Outlines, Pieces


def cap(centre: float, begin: float, end: float, length: float, height: float) -> Pieces:
    """An elliptic end `length` mm long and `height` mm high where it meets the strand, at `centre`."""
    single = (np.array([value]) for value in (begin, end, centre, 0.0, length, height, 0.0, 0.0, 0.0))
    return Pieces(np.array([BULGE]), *single)


def together(*parts: Pieces) -> Pieces:
    """Pieces one after the other."""
    return Pieces(*(np.concatenate([getattr(part, name) for part in parts]) for name in Pieces.__dataclass_fields__))


def no_gaps() -> Gaps:
    """The gaps of a strand that has none."""
    none, no_flag = np.zeros(0), np.zeros(0, dtype=bool)
    return Gaps(none, none, no_flag, no_flag, none, none)


def capped(cubics: Cubics, length: float, ends: tuple[float, float]) -> Outline:
    """The outline of a girth whose first and last `ends` mm are elliptic caps; 0 leaves an end flat."""
    first, last = ends[0], length - ends[1]
    marks = np.concatenate([[first], cubics.begin[(cubics.begin > first) & (cubics.begin < last)], [last]])
    heights = cubics.heights(marks)
    parts = [cubics.between(first, last).pieces()]
    if ends[0] > 0:
        parts.insert(0, cap(first, 0.0, first, ends[0], float(heights[0])))
    if ends[1] > 0:
        parts.append(cap(last, last, length, ends[1], float(heights[-1])))
    return Outline(together(*parts), marks, heights, no_gaps(), 0.0)


@dataclass(frozen=True)
class Plain:
    """No relief. `ends`: length of the rounded root and tip end, mm; 0 is flat."""

    ends: tuple[float, float]

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief."""
        return _outlines(self.ends, girth, length)

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same: there is no relief to leave out."""
        return self.outlines(girth, length)

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        return f"A strand of {girth:.3g} mm has a neck of {across:.3g} mm"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {"kind": "plain", "ends": list(self.ends)}


@lru_cache(maxsize=64)  # many limbs of a bait, and all cuts of a tube, have one girth
def _outlines(ends: tuple[float, float], girth: Girth, length: float) -> Outlines:
    return girth.outlines(length, lambda top: capped(top, length, ends))
