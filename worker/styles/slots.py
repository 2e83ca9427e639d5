"""The hook slot: a plate taken out of the back or the belly along the trunk, its bottom and its ends round."""

from __future__ import annotations

from dataclasses import dataclass

from worker.strands.girth import Girth, GirthStation
from worker.strands.plates import Plate
from worker.strands.section import Section
from worker.strands.strand import Strand
from worker.styles.around import Around
from worker.styles.beside import beside
from worker.styles.style import Params
from worker.styles.worm_parameters import number

SQUARE = 16.0
"""Exponent of the open half of a slot's section: its sides are upright to within a hundredth at the surface."""
OPEN = 1.35
"""How far the slot's section reaches over how far it has to, to come out of the bait."""


@dataclass(frozen=True)
class Slot:
    """From `begin` to `end` mm along the trunk; `depth` over the trunk's height where it is lowest there."""

    on_back: bool
    width: float
    begin: float
    end: float
    depth: float

    @classmethod
    def of(cls, params: Params, nose: float = 0.0) -> Slot | None:
        """From parameters; None where there is none. `nose`: how far behind the bait's the trunk's own begins, mm."""
        side = str(params["hook_slot"])
        if side == "none":
            return None
        length = number(params, "length")
        begin, long = (number(params, f"hook_slot_{name}") / 100 * length for name in ("at", "length"))
        width, depth = number(params, "hook_slot_width"), number(params, "hook_slot_depth")
        return cls(side == "back", width, begin - nose, begin + long - nose, depth)

    def bottom(self, around: Around) -> float:
        """How far the slot's bottom lies from the path towards the side that it opens to, mm; below 0 beyond it."""
        surface = around.back if self.on_back else around.belly
        return float(surface.min()) - self.depth * around.lowest

    def floor(self, around: Around) -> float:
        """Least plastic that is left between the bottom and the other side, mm."""
        other = around.belly if self.on_back else around.back
        return self.bottom(around) + float(other.min())

    def strand(self, trunk: Strand) -> Strand:
        """What is taken out."""
        around = Around.of(trunk, self.begin, self.end)
        round_ = self.width / 2
        middle = self.bottom(around) + round_
        surface = around.back if self.on_back else around.belly
        # A slot shallower than its bottom is round has its middle outside: there it opens all the same.
        out = max(OPEN * (float(surface.max()) - middle), round_)
        if self.on_back:
            section, back, belly = Section(upper=SQUARE), out, round_
        else:
            section, back, belly = Section(lower=SQUARE), round_, out
        girth = Girth(tuple(GirthStation(at, self.width, back, belly) for at in (0.0, 1.0)))
        path = beside(trunk.path, self.begin, self.end, back=middle if self.on_back else -middle)
        return Strand("hook slot", "slot", path, girth, Plate((round_, round_)), section=section)
