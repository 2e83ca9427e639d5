"""The body of a shrimp: carapace and arched abdomen as one trunk, its plates a relief."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from worker.strands.armour import Plates
from worker.strands.bent_path import BentPath, Stretch
from worker.strands.girth import Girth
from worker.strands.path import Path, StraightPath
from worker.strands.ribs import Ribs
from worker.strands.strand import Strand
from worker.styles.dress import dressed
from worker.styles.placing import Place, place_on
from worker.styles.style import Params
from worker.styles.worm_parameters import number

CARAPACE: tuple[tuple[float, float], ...] = ((0.0, 0.66), (0.16, 0.70), (0.42, 0.93), (0.68, 1.0), (1.0, 0.93))
"""Shares of the carapace's length with the girth there over its greatest (judgement)."""
HALF_WAY = 0.56
"""Girth half-way along the abdomen: so far from the fan's towards the carapace's (judgement)."""
NOSE = 0.42
"""Length of the rounded nose over the carapace's height (judgement)."""
FAN_DEEP = 0.5
"""How far ahead of the abdomen's end the fan is rooted, over the height there (judgement)."""
PAST = 0.15
"""How far the last plate's land ends ahead of the round of the abdomen's end, mm."""
LAND, EDGE = 0.45, 0.3
"""Level part of a plate ahead of its edge, over the plate; round of the edge, mm, where that fits (judgement)."""


@dataclass(frozen=True)
class Spot:
    """A place on the trunk's path, ahead being to the tail, and the half sizes of the section there; mm."""

    place: Place
    half_width: float
    half_height: float


@dataclass(frozen=True)
class ShrimpBody:
    """The trunk of a shrimp whose carapace begins at `begin` and whose abdomen is `abdomen` mm long; mm."""

    params: Params
    abdomen: float
    begin: float = 0.0

    def _of(self, name: str) -> float:
        return number(self.params, name)

    @cached_property
    def carapace(self) -> float:
        """Length of the carapace: a share of the shrimp laid straight, so that it does not shrink as the rest arches.

        Straight, it is horn + carapace + abdomen + fan; arched, the abdomen counts with sin(arch) / arch of its length
        and the fan with cos(arch). Solved for the first sum.
        """
        share, arch = self._of("carapace") / 100, math.radians(self._of("arch"))
        lost = 1 - math.sin(arch) / arch if arch > 0 else 0.0
        horn, fan = self._of("horn"), self._of("fan_length")
        straight = self._of("length") - (horn + fan) * lost + fan * (1 - math.cos(arch))
        return share * straight / (1 - (1 - share) * lost)

    @property
    def length(self) -> float:
        """Along the path."""
        return self.carapace + self.abdomen

    @property
    def plate(self) -> float:
        """Length of one plate; the last one ends in the round of the abdomen's end."""
        return (self.abdomen - EDGE - PAST) / int(self.params["segments"])

    @cached_property
    def path(self) -> Path:
        """Level below the carapace, then down on one arc."""
        start, arch = (self.begin, 0.0, 0.0), self._of("arch")
        if arch == 0:
            return StraightPath(self.length, start)
        return BentPath((Stretch(self.carapace), Stretch(self.abdomen, arch)), start)

    @cached_property
    def girth(self) -> Girth:
        """As high and wide as the carapace asks, thinning out to the fan."""
        rear, taper = CARAPACE[-1][1], self._of("taper")
        shares = [(at * self.carapace, share) for at, share in CARAPACE]
        shares.append((self.carapace + self.abdomen / 2, taper + HALF_WAY * (rear - taper)))
        shares.append((self.length, taper))
        width, height = self._of("carapace_width"), self._of("carapace_height")
        return Girth.oval(*((at / self.length, share * width, share * height) for at, share in shares))

    @cached_property
    def relief(self) -> Plates:
        """A plate a segment; the carapace's own edge stands over the first."""
        count, land = int(self.params["segments"]), LAND * self.plate
        edge = min(EDGE, land / 2, (self.plate - land) / 3)
        # Seen from the tail: the last edge stands before the land of the last plate.
        begin = land + EDGE + PAST
        ends = (0.4 * self.plate, NOSE * self._of("carapace_height"))
        return Plates(Ribs(count, self.plate, self._of("plate_depth"), land, edge, begin, ends))

    @cached_property
    def trunk(self) -> Strand:
        """The trunk, nothing grown on it; level at its nose where a bore opens there, so that this takes no length."""
        return dressed(Strand("trunk", "trunk", self.path, self.girth, self.relief), self.params)

    def spot(self, station: float) -> Spot:
        """The place at a station of the path."""
        half_width, half_height = (float(size[0]) for size in self.trunk.smooth.half_sizes(np.array([station])))
        return Spot(place_on(self.path, station), half_width, half_height)

    @cached_property
    def end(self) -> Spot:
        """Where the abdomen ends; its half sizes are those behind which it rounds off."""
        end, before = self.spot(self.length), self.spot(self.length - self.relief.ribs.ends[0])
        return replace(end, half_width=before.half_width, half_height=before.half_height)

    @property
    def fan_deep(self) -> float:
        """How far ahead of the abdomen's end the fan is rooted."""
        return FAN_DEEP * self._of("taper") * self._of("carapace_height")
