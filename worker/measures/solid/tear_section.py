"""Where one end of a bait tears off: what a cut through its solid found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from worker.strands.roots import Array
from worker.values.plastics import Plastic

TRUNK_ENDS = ("nose", "tail_end")
"""The ends of the trunk itself, as extremities."""

Mode = Literal["tear", "peel"]


@dataclass(frozen=True)
class TearSection:
    """The least section that parts one end from what holds the bait; mm, mm2.

    `extremity` is `nose`, `tail_end` or a limb's name, `kind` what kind of strand. `uncertainty`: how far the area may
    be off. `length` and `width` are the section's own, `widest` is its greatest width along its length; where it is a
    `long_seam` it comes off from one end. `middle` and the unit `normal`, which points to what is lost, tell where;
    `lost` is the share of the bait's volume. `flat`: measured on the surface in one plane, else on a grid; `fine`:
    looked at again on finer grids.
    """

    extremity: str
    kind: str
    area: float
    uncertainty: float
    notch_factor: float
    length: float
    width: float
    widest: float
    long_seam: bool
    middle: Array
    normal: Array
    lost: float
    flat: bool
    fine: bool

    def pulls(self, plastic: Plastic) -> tuple[Mode, float, float, float]:
        """How it goes, and at what pull: typical, low and high; N.

        Torn: strength x area / notch factor; the low pull with the factor, the high one without, as of any joint.
        Peeled: tear energy x greatest width of the seam, which the front has to pass. The least counts.
        """
        strength, energy = plastic.strength, plastic.tear_energy
        torn = strength.typical * self.area / self.notch_factor
        # J/m2 is N/m, a thousandth of N/mm.
        peeled = energy.typical * self.widest / 1000
        if self.long_seam and peeled < torn:
            return "peel", peeled, energy.low * self.widest / 1000, energy.high * self.widest / 1000
        return "tear", torn, strength.low * self.area / self.notch_factor, strength.high * self.area
