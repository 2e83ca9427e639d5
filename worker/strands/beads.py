"""The relief of beads: where they stand along a girth, and the outlines they make."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from worker.strands.closing import Floor, close, hides_one
from worker.strands.girth import Girth
from worker.strands.humps import EllipticHumps, Humps
from worker.strands.outline import Outline, Outlines
from worker.strands.plain import Plain
from worker.strands.roots import Array
from worker.strands.rounded_humps import RoundedHumps

Segment = Literal["ball", "barrel", "cone"]

GRID = 1024
"""Steps of the fixed grid on which bead places are found; a straight girth is exact on any grid."""

BARREL_EDGE = 0.25
"""Edge round of a barrel, over its diameter (judgement)."""
CONE_EDGE = 0.10
"""Edge round of a cone, over its diameter (judgement)."""
CONE_TAIL = 0.62
"""Diameter of a cone at its tail end, over that at its nose end (judgement)."""


@dataclass(frozen=True)
class Core:
    """The plain strand through the middle: its diameter and height over the girth's width at the same station."""

    width_share: float
    height_share: float


@dataclass(frozen=True)
class Beads:
    """`count` beads from end to end; they overlap equally, so their pitch follows the girth.

    `length_ratio`: a bead's length over its width. `height_ratio`: its height over its width. `blend`: radius of the
    round in each crease, mm.
    """

    count: int
    length_ratio: float
    height_ratio: float
    blend: float
    segment: Segment = "ball"
    core: Core | None = None

    def places(self, girth: Girth, length: float) -> tuple[Array, Array]:
        """Centres along the path and widths, mm, of every bead.

        Centres stand evenly in the measure d(station)/width: neighbours that are p apart then have p over their mean
        width equal all along a straight girth. The first and last bead end where the path does.
        """
        grid = length * np.arange(GRID + 1) / GRID
        width = girth.width(grid / length)
        reach = self.length_ratio * width / 2
        first = float(np.interp(0.0, grid - reach, grid))
        last = float(np.interp(length, grid + reach, grid))
        middle = (1 / width[1:] + 1 / width[:-1]) / 2
        measure = np.concatenate([[0.0], np.cumsum(middle * (length / GRID))])
        begin, end = np.interp([first, last], grid, measure)
        centres = np.interp(begin + (end - begin) * np.arange(self.count) / max(self.count - 1, 1), measure, grid)
        if self.count > 1:
            centres[0], centres[-1] = first, last
        return centres, girth.width(centres / length)

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief."""
        centres, widths = self.places(girth, length)
        side = self._outline(centres, widths, 1.0, None if self.core is None else self.core.width_share)
        same = self.core is None or self.core.height_share == self.core.width_share * self.height_ratio
        if self.height_ratio == 1.0 and same:
            return Outlines(side, side, side)
        height_share = None if self.core is None else self.core.height_share
        height = self._outline(centres, widths, self.height_ratio, height_share)
        if self.core is None and bool(np.any(side.gaps.joined != height.gaps.joined)):
            # A gap that only one view bridges has no section there: left half filled, its beads would end in blades.
            parted = ~(side.gaps.joined & height.gaps.joined)
            side = close(self._humps(centres, widths, 1.0), self.blend, parted=parted)
            height = close(self._humps(centres, widths, self.height_ratio), self.blend, parted=parted)
        return Outlines(side, height, height)

    def hides_one(self, girth: Girth, length: float) -> bool:
        """Whether a bead lies wholly inside its neighbour, so that `outlines` would raise closing.HumpsHidden."""
        centres, widths = self.places(girth, length)
        ratios = {1.0, self.height_ratio}
        return any(hides_one(self._humps(centres, widths, ratio), self.blend) for ratio in sorted(ratios))

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same girth without beads, its ends as round as the first and last bead."""
        ends = tuple(self.length_ratio * float(girth.width(np.array([at]))[0]) / 2 for at in (0.0, 1.0))
        return Plain((ends[0], ends[1])).outlines(girth, length)

    def _outline(self, centres: Array, widths: Array, ratio: float, core_share: float | None) -> Outline:
        floor = None if core_share is None else Floor(core_share * widths / 2)
        return close(self._humps(centres, widths, ratio), self.blend, floor)

    def _humps(self, centres: Array, widths: Array, ratio: float) -> Humps:
        half_length, half_height = self.length_ratio * widths / 2, ratio * widths / 2
        if self.segment == "ball":
            return EllipticHumps(centres, half_length, half_height)
        share = BARREL_EDGE if self.segment == "barrel" else CONE_EDGE
        edge = np.minimum(np.minimum(share * widths, 0.9 * half_height), 0.9 * half_length)
        rear_height = half_height * (CONE_TAIL if self.segment == "cone" else 1.0)
        return RoundedHumps(
            np.stack([centres - half_length + edge, centres + half_length - edge], axis=1),
            np.stack([half_height - edge, np.maximum(rear_height - edge, 0.0)], axis=1),
            edge,
        )

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        beads = "beads" if self.segment == "ball" else f"{self.segment}s"
        joint = f"hang on a core of {across:.3g} mm" if on_core else f"meet in a neck of {across:.3g} mm"
        return f"{self.count} {beads} of {girth:.3g} mm {joint}"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        described: dict[str, Any] = {
            "kind": "beads",
            "segment": self.segment,
            "count": self.count,
            "length_ratio": self.length_ratio,
            "height_ratio": self.height_ratio,
            "blend": self.blend,
        }
        if self.core is not None:
            described["core"] = {"width_share": self.core.width_share, "height_share": self.core.height_share}
        return described
