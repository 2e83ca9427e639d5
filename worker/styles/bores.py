"""Bores along a trunk from one of its ends: for a jig hook's shank, for a nail weight, for a rattle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from worker.strands.girth import Girth
from worker.strands.plain import Plain
from worker.strands.strand import Strand, StrandKind
from worker.styles.around import Around
from worker.styles.beside import beside
from worker.styles.placing import rounded_end, rounded_nose
from worker.styles.style import Params
from worker.styles.worm_parameters import number

LIP = 0.6
"""Width of the flat face around a bore's mouth, mm: a core pin's seat, in place of an edge like a knife (judgement)."""
LEAD = 1.0
"""How far outside of the bait a hollow begins, mm, so that it opens whatever the end's shape."""
RATTLE = 4.0
"""Length of a rattle over its diameter (judgement: glass ones are three to five times as long as wide)."""


@dataclass(frozen=True)
class Bore:
    """A round bore `length` mm deep from one end of a trunk, its inner end round. `parameter` is what it comes from."""

    name: str
    kind: StrandKind
    parameter: str
    diameter: float
    length: float
    from_nose: bool

    def stretch(self, trunk: Strand) -> tuple[float, float]:
        """From where to where it goes along the trunk, mm."""
        whole = trunk.path.length
        return (0.0, self.length) if self.from_nose else (whole - self.length, whole)

    @property
    def face(self) -> float:
        """Radius of the flat face that its end of the bait takes, mm."""
        return self.diameter / 2 + LIP

    def walled(self, trunk: Strand) -> tuple[float, float]:
        """The stretch of it that has to have walls: its mouth in a rounded end has none."""
        begin, end = self.stretch(trunk)
        whole = trunk.path.length
        if self.from_nose:
            return min(rounded_nose(trunk), end), end
        return begin, max(whole - rounded_end(trunk), begin)

    def strand(self, trunk: Strand) -> Strand:
        """What is taken out."""
        up = Around.of(trunk, *self.walled(trunk)).middle
        begin, end = self.stretch(trunk)
        way = (begin - LEAD, end) if self.from_nose else (end + LEAD, begin)
        girth = Girth.circular((0.0, self.diameter), (1.0, self.diameter))
        return Strand(self.name, self.kind, beside(trunk.path, *way, back=up), girth, Plain((0.0, self.diameter / 2)))


def bores_of(params: Params) -> Iterator[Bore]:
    """The bores that are asked for."""
    length = number(params, "length")
    jig, weight, rattle = (number(params, name) for name in ("jig_bore", "weight_bore", "rattle_pocket"))
    if jig > 0:
        yield Bore("jig bore", "bore", "jig_bore", jig, number(params, "jig_bore_length") / 100 * length, True)
    if weight > 0:
        nose = params["weight_bore_end"] == "nose"
        yield Bore("weight bore", "bore", "weight_bore", weight, number(params, "weight_bore_length"), nose)
    if rattle > 0:
        nose = params["rattle_pocket_end"] == "nose"
        yield Bore("rattle pocket", "pocket", "rattle_pocket", rattle, RATTLE * rattle, nose)
