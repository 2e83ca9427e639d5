"""The body of a lizard: head, neck, shoulders and hips as one girth along one straight trunk."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.styles.style import Params
from worker.styles.worm_parameters import number

HEAD: tuple[tuple[float, float, float], ...] = ((0.62, 1.0, 1.0), (0.80, 0.94, 0.96))
"""Shares of the head's length with its width and height there over the greatest: broadest over the jaws (judgement)."""
HEAD_HEIGHT = 0.70
"""Height of the head over its width (judgement)."""
NECK_AT = 1.08
"""Where the neck is thinnest, over the head's length (judgement)."""
SHOULDERS, HIPS = 0.94, 0.92
"""Girth at the front legs and at the hind legs over the body's, which it has half-way between them (judgement)."""
REAR, REAR_OVER_WRIST = 0.45, 1.25
"""Least girth of the trunk's end over the body's, and its usual one over the wrist of the tail there (judgement)."""


def legs_at(params: Params, which: str) -> float:
    """Where the `front_legs` or the `hind_legs` leave, mm from the nose."""
    return number(params, which) / 100 * number(params, "length")


@dataclass(frozen=True)
class LizardBody:
    """The trunk of a lizard, `trunk_length` mm without its tail; mm."""

    params: Params
    trunk_length: float

    def _of(self, name: str) -> float:
        return number(self.params, name)

    @property
    def head_width(self) -> float:
        """Over the jaws."""
        return self._of("head_width")

    @property
    def head_height(self) -> float:
        """Where the head is highest."""
        return HEAD_HEIGHT * self.head_width

    @property
    def rear(self) -> float:
        """Girth at the trunk's end over the body's: a little more than the tail's wrist, or thin without a tail."""
        wrist = self._of("tail_wrist") if self.params["tail"] != "none" else 0.0
        return min(max(REAR_OVER_WRIST * wrist / min(self._of("body_width"), self._of("body_height")), REAR), HIPS)

    @property
    def neck_at(self) -> float:
        """Where the neck is thinnest, from the nose."""
        return NECK_AT * self._of("head_length")

    @cached_property
    def girth(self) -> Girth:
        """From the nose to where the tail begins."""
        width, height = self._of("body_width"), self._of("body_height")
        neck = self._of("neck")
        front, hind = (legs_at(self.params, which) for which in ("front_legs", "hind_legs"))
        heads = ((0.0, *HEAD[0][1:]), *HEAD)
        stations = [(at * self._of("head_length"), w * self.head_width, h * self.head_height) for at, w, h in heads]
        places = ((self.neck_at, neck), (front, SHOULDERS), ((front + hind) / 2, 1.0), (hind, HIPS))
        stations += [(at, share * width, share * height) for at, share in places]
        stations.append((self.trunk_length, self.rear * width, self.rear * height))
        return Girth.oval(*((at / self.trunk_length, w, h) for at, w, h in stations))

    @property
    def ends(self) -> tuple[float, float]:
        """Lengths of the rounded nose and rear end."""
        return HEAD[0][0] * self._of("head_length"), 0.5 * self.rear * self._of("body_width")

    @cached_property
    def trunk(self) -> Strand:
        """The trunk, nothing taken out and no tail on it."""
        return Strand("trunk", "trunk", StraightPath(self.trunk_length), self.girth, Plain(self.ends))
