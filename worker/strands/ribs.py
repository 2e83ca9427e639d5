"""The relief of ribs: a saw-tooth cut into a girth between two stations, steep faces to the nose.

Each rib has an upright front face, a level land and a slope that falls by `depth` to the foot of the next front face.
What lies before the first groove and behind the last is the girth itself, which the land of its side continues.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from worker.strands.closing import close
from worker.strands.cubics import Cubics
from worker.strands.girth import Girth
from worker.strands.outline import Outline, Outlines
from worker.strands.plain import Plain, cap, together
from worker.strands.roots import Array
from worker.strands.rounded_humps import RoundedHumps


@dataclass(frozen=True)
class Ribs:
    """`count` grooves `pitch` mm apart from `begin` (mm from the nose), each `depth` mm deep; mm.

    `land` is the level part of a rib, `edge` the radius of its outer edges and of the foot of each face; `ends` the
    lengths of the strand's own rounded ends.
    """

    count: int
    pitch: float
    depth: float
    land: float
    edge: float
    begin: float
    ends: tuple[float, float]

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """See Relief."""
        return girth.outlines(length, lambda top: self._outline(top, length))

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same girth without ribs."""
        return Plain(self.ends).outlines(girth, length)

    def _outline(self, top: Cubics, length: float) -> Outline:
        humps = self._humps(top)
        row = close(humps, self.edge)
        first, last = self._borders(humps)
        ribs = row.pieces.between(first, last)
        # Ribs that reach into a rounded end shorten it: it begins where they end.
        before, behind = min(self.ends[0], first), max(length - self.ends[1], last)
        parts = [top.between(before, first).pieces(), ribs, top.between(last, behind).pieces()]
        if self.ends[0] > 0:
            parts.insert(0, cap(before, 0.0, before, before, top.height_at(before)))
        if self.ends[1] > 0:
            parts.append(cap(behind, behind, length, length - behind, top.height_at(behind)))
        crest_y = humps.crest_y.copy()
        crest_x = humps.crest_x.copy()
        # The first and the last crest stand for all of the girth on their side.
        crest_x[0], crest_y[0] = _thickest(top, before, first)
        crest_x[-1], crest_y[-1] = _thickest(top, last, behind)
        return Outline(together(*parts), crest_x, crest_y, row.gaps, self.edge)

    def _humps(self, top: Cubics) -> RoundedHumps:
        """One hump before each groove and one behind the last, as centres of rounding of their corners."""
        front = self.begin + self.pitch * np.arange(self.count + 1, dtype=np.float64) - self.land
        knee, foot = front + self.land, front + self.pitch
        knee_height, slope = top.heights(knee), top.slopes(knee)
        fall = self._fall(self.depth + knee_height - top.heights(foot))
        # Lines `edge` below the land and below the slope; they cross at the knee's centre of rounding.
        land_drop = self.edge * np.sqrt(1 + slope * slope)
        fall_drop = self.edge * np.sqrt(1 + fall * fall)
        shift = (fall_drop - land_drop) / (slope + fall)
        knee_x = knee - shift
        x = np.stack([front + self.edge, knee_x, foot + self.edge], axis=1)
        y = np.stack(
            [
                knee_height + slope * (self.edge - self.land) - land_drop,
                knee_height - slope * shift - land_drop,
                knee_height - fall * (foot + self.edge - knee) - fall_drop,
            ],
            axis=1,
        )
        return RoundedHumps(x, y, np.full(self.count + 1, self.edge))

    def _fall(self, drop: Array) -> Array:
        """Slope whose groove, its foot rounded by `edge`, is `drop` deep.

        A ball of radius r at the foot of an upright face rests on a slope f; its lowest point lies
        f a - r (sqrt(1 + f^2) - 1) below the knee, a being the groove's length less r. Solved for f.
        """
        radius, run = self.edge, self.pitch - self.land - self.edge
        rest = drop - radius
        root = radius * np.sqrt(rest * rest + run * run - radius * radius)
        return np.asarray((run * rest + root) / (run * run - radius * radius))

    def _borders(self, humps: RoundedHumps) -> tuple[float, float]:
        """Where the girth hands over to the first hump's knee, and the last hump's front edge back to it."""
        normal_x, _ = humps.normals
        return (
            float(humps.x[0, 1] + self.edge * normal_x[0, 0]),
            float(humps.x[-1, 0] + self.edge * normal_x[-1, 0]),
        )

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """See Relief."""
        return f"Ribs {self.depth:.3g} mm deep in a girth of {girth:.3g} mm leave necks of {across:.3g} mm"

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {
            "kind": "ribs",
            "count": self.count,
            "pitch": self.pitch,
            "depth": self.depth,
            "land": self.land,
            "edge": self.edge,
            "begin": self.begin,
            "ends": list(self.ends),
        }


def _thickest(top: Cubics, low: float, high: float) -> tuple[float, float]:
    stations = low + (high - low) * np.arange(65) / 64
    heights = top.heights(stations)
    best = int(heights.argmax())
    return float(stations[best]), float(heights[best])
