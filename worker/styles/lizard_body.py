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
NECK_AT = 1.12
"""Where the neck is thinnest, over the head's length (judgement)."""
SHOULDERS, HIPS, REAR = 0.94, 0.92, 0.62
"""Girth at the front legs, at the hind legs and at the trunk's end over the body's, which it has half-way between the
legs (judgement)."""
NECK_ROOM = 0.04
"""Least distance from neck to shoulders and from hips to the trunk's end, over the length."""


@dataclass(frozen=True)
class LizardBody:
    """The trunk of a lizard, `trunk_length` mm without its tail; mm."""

    params: Params
    trunk_length: float

    def _of(self, name: str) -> float:
        return number(self.params, name)

    @property
    def neck_at(self) -> float:
        """Where the neck is thinnest, from the nose."""
        return NECK_AT * self._of("head_length")

    def legs_at(self, which: str) -> float:
        """Where the `front_legs` or the `hind_legs` leave, from the nose."""
        return self._of(which) / 100 * self._of("length")

    @cached_property
    def girth(self) -> Girth:
        """From the nose to where the tail begins."""
        width, height = self._of("body_width"), self._of("body_height")
        broad, neck = self._of("head_width"), self._of("neck")
        front, hind = self.legs_at("front_legs"), self.legs_at("hind_legs")
        heads = ((0.0, *HEAD[0][1:]), *HEAD)
        stations = [(at * self._of("head_length"), w * broad, h * HEAD_HEIGHT * broad) for at, w, h in heads]
        places = ((self.neck_at, neck), (front, SHOULDERS), ((front + hind) / 2, 1.0), (hind, HIPS))
        stations += [(at, share * width, share * height) for at, share in places]
        stations.append((self.trunk_length, REAR * width, REAR * height))
        return Girth.oval(*((at / self.trunk_length, w, h) for at, w, h in stations))

    @property
    def ends(self) -> tuple[float, float]:
        """Lengths of the rounded nose and rear end."""
        return HEAD[0][0] * self._of("head_length"), 0.5 * REAR * self._of("body_width")

    @cached_property
    def trunk(self) -> Strand:
        """The trunk, nothing taken out and no tail on it."""
        return Strand("trunk", "trunk", StraightPath(self.trunk_length), self.girth, Plain(self.ends))
