"""The body of a creature: a ribbed trunk, and where on it limbs stand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.ribs import Ribs
from worker.strands.strand import Strand
from worker.styles.style import Params
from worker.styles.worm_parameters import number

GIRTH: tuple[tuple[float, float], ...] = ((0.0, 0.66), (0.12, 0.86), (0.34, 1.0), (0.62, 0.96))
"""Shares of the body with its width and height there over the greatest; the taper ends it (judgement)."""
NOSE, REAR = 0.42, 0.5
"""Length of the rounded nose and of the rounded rear end, over the girth there (judgement)."""
LEAST_DEPTH = 0.3
"""Shallower ribs are left out, mm."""
LAND, MOST_LAND = 0.4, 1.2
"""Level part of a rib over the pitch, and the longest, mm (judgement)."""
EDGE = 0.3
"""Round of the ribs' edges, mm, where they are long enough for it (judgement)."""


@dataclass(frozen=True)
class CreatureBody:
    """The trunk of a creature whose body is `length` mm long; mm."""

    params: Params
    length: float

    def _of(self, name: str) -> float:
        return number(self.params, name)

    @property
    def width(self) -> float:
        """Greatest width."""
        return self._of("body_width")

    @property
    def pitch(self) -> float:
        """From one rib to the next."""
        return self._of("rib_pitch")

    @cached_property
    def girth(self) -> Girth:
        """Widest over the front third, tapering to the rear."""
        width, height = self._of("body_width"), self._of("body_height")
        shares = (*GIRTH, (1.0, self._of("body_taper")))
        return Girth.oval(*((at, share * width, share * height) for at, share in shares))

    @property
    def ends(self) -> tuple[float, float]:
        """Lengths of the rounded nose and rear end."""
        return NOSE * GIRTH[0][1] * self._of("body_width"), REAR * self._of("body_taper") * self._of("body_width")

    @property
    def zone(self) -> tuple[float, float]:
        """Between which stations there are ribs."""
        return self._of("ribs_from") * self.length, self._of("ribs_to") * self.length

    @property
    def land(self) -> float:
        """Level part of a rib."""
        return min(MOST_LAND, LAND * self._of("rib_pitch"))

    @property
    def rib_count(self) -> int:
        """Ribs behind the first."""
        begin, end = self.zone
        return math.floor((end - begin) / self._of("rib_pitch") + 1e-9)

    def rib(self, which: int) -> float:
        """Station of the middle of a rib, 0 being the first."""
        return self.zone[0] + which * self._of("rib_pitch") - self.land / 2

    def first_rib(self, share: float) -> int:
        """The first rib that stands at or behind a share of the body's length."""
        return max(0, math.ceil((share * self.length - self.rib(0)) / self.pitch - 1e-9))

    @property
    def plain(self) -> bool:
        """Whether there are no ribs: they would be shallow, or not even one fits."""
        return self._of("rib_depth") < LEAST_DEPTH or self.rib_count < 1

    @cached_property
    def relief(self) -> Ribs | Plain:
        """Ribs, if there are any."""
        pitch, depth = self._of("rib_pitch"), self._of("rib_depth")
        if self.plain:
            return Plain(self.ends)
        edge = min(EDGE, self.land / 2, (pitch - self.land) / 3)
        return Ribs(self.rib_count, pitch, depth, self.land, edge, self.zone[0], self.ends)

    @cached_property
    def trunk(self) -> Strand:
        """The trunk, nothing taken out and no tail on it."""
        return Strand("trunk", "trunk", StraightPath(self.length), self.girth, self.relief)
