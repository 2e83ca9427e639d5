"""A plate: round at both ends seen from its back, upright seen from its side, as a slot is that a cutter leaves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from worker.strands.girth import Girth
from worker.strands.outline import Outlines
from worker.strands.plain import capped


@dataclass(frozen=True)
class Plate:
    """`ends`: lengths of the rounds at root and tip, mm; half the width makes half circles."""

    ends: tuple[float, float]

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief."""
        back = capped(girth.backs(length), length, (0.0, 0.0))
        belly = capped(girth.bellies(length), length, (0.0, 0.0))
        return Outlines(capped(girth.half_widths(length), length, self.ends), back, belly)

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same: there is no relief to leave out."""
        return self.outlines(girth, length)

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        return f"A plate of {girth:.3g} mm has a neck of {across:.3g} mm"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {"kind": "plate", "ends": list(self.ends)}
