"""The relief of plates: ribs the other way round, each plate's free edge to the tail and over the next (a shrimp's)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from worker.strands.girth import Girth
from worker.strands.outline import CURVE, Gaps, Outline, Outlines, Pieces
from worker.strands.plain import Plain
from worker.strands.ribs import Ribs
from worker.strands.roots import Array


@dataclass(frozen=True)
class Plates:
    """`ribs` as they are seen from the tail: `ribs.begin` is measured from there, and `ribs.ends` are tail and nose."""

    ribs: Ribs

    @property
    def ends(self) -> tuple[float, float]:
        """Lengths of the strand's own rounded ends, root and tip; mm."""
        tip, root = self.ribs.ends
        return root, tip

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief."""
        seen = self.ribs.outlines(_turned(girth), length)
        turned = {id(outline): turned_round(outline, length) for outline in seen}
        return Outlines(*(turned[id(outline)] for outline in seen))

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same girth without plates."""
        return Plain(self.ends).outlines(girth, length)

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        steps = f"Plates with steps of {self.ribs.depth:.3g} mm"
        return f"{steps} in a girth of {girth:.3g} mm leave necks of {across:.3g} mm"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {**self.ribs.describe(), "kind": "plates"}


def _turned(girth: Girth) -> Girth:
    return Girth(tuple(replace(station, at=1.0 - station.at) for station in reversed(girth.stations)))


def turned_round(outline: Outline, length: float) -> Outline:
    """The outline of a strand `length` mm long, seen from its other end."""
    return Outline(
        _turned_pieces(outline.pieces, length),
        length - outline.crest_x[::-1],
        outline.crest_y[::-1],
        _turned_gaps(outline.gaps, length),
        outline.blend,
    )


def _turned_pieces(pieces: Pieces, length: float) -> Pieces:
    one = pieces.take(np.arange(len(pieces.kind))[::-1])
    sign = np.where(one.kind == CURVE, -1.0, 1.0)
    return Pieces(
        one.kind,
        length - one.end,
        length - one.begin,
        length - one.centre_x,
        one.centre_y,
        one.half_length,
        one.half_height,
        sign * one.slope,
        one.second,
        sign * one.third,
    )


def _turned_gaps(gaps: Gaps, length: float) -> Gaps:
    def back(values: Array) -> Array:
        return length - values[::-1]

    return Gaps(
        back(gaps.station),
        gaps.height[::-1],
        gaps.joined[::-1],
        gaps.on_floor[::-1],
        back(gaps.floor_end),
        back(gaps.floor_begin),
        None if gaps.sharp is None else gaps.sharp[::-1],
        None if gaps.level is None else gaps.level[::-1],
    )
