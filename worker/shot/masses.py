"""Where the plastic of a pour goes: by mass, which is kept while volumes shrink."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

EXPANSION_PER_C = 160e-6
"""Linear, of plasticised PVC (makeitfrom.com, "Plasticized (Flexible) PVC")."""
ROOM_C = 20.0


def hot_density(cold: float, pour_c: float) -> float:
    """Density at the pour, in the unit of `cold`, that at 20 °C: a length grows by 160e-6 a degree."""
    return cold / (1 + EXPANSION_PER_C * (pour_c - ROOM_C)) ** 3


@dataclass(frozen=True, slots=True)
class Masses:
    """One shot and what it takes of fresh plastic; g, shares of 1.

    `bait` cold. `channels` of one shot, of which `remelt` goes back into the pot. `waste` of all that is heated.
    """

    bait: float
    cavities: int
    channels: float
    waste: float
    remelt: float

    @property
    def shot(self) -> float:
        """What enters the mould."""
        return self.cavities * self.bait + self.channels

    @property
    def heated(self) -> float:
        """What has to be in the pot for it."""
        return self.shot / (1 - self.waste)

    @property
    def wasted(self) -> float:
        """What stays in pot and injector."""
        return self.heated - self.shot

    @property
    def remelted(self) -> float:
        """What comes back from the channels."""
        return self.remelt * self.channels

    @property
    def fresh(self) -> float:
        """What each shot takes from the bottles, once the channels of the one before are back in the pot."""
        return self.heated - self.remelted

    def run(self, shots: int) -> float:
        """What that many shots take from the bottles: the first finds no channels of another in the pot."""
        return shots * self.fresh + self.remelted


def remelt_share(shot: Mapping[str, Any]) -> float:
    """Of the channels, what goes back into the pot; where nothing is told all, of several colours none."""
    return float(shot.get("remelt_pct", 100.0 if shot["method"] == "single" else 0.0)) / 100
