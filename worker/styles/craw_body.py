"""The body of a craw: a left and a right ribbed lobe, held by a core that each runs into by a stated overlap."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

from worker.strands.girth import Girth
from worker.strands.path import Point, StraightPath
from worker.strands.plain import Plain
from worker.strands.ribs import Ribs
from worker.strands.section import ELLIPSE, Section
from worker.strands.strand import Strand
from worker.strands.zones import Zone
from worker.styles.heads import level_place
from worker.styles.style import Params
from worker.styles.worm_parameters import number

LEAST_FAN = 3.0
"""A fan shorter than this is left out: it would be all root."""
CORE_HEIGHT = 0.55
"""Height of the core over the lobes' (judgement)."""
AHEAD, BEHIND = 0.02, 0.03
"""How far the core shows ahead of the lobes and behind them, over the body's length (judgement)."""
RIBBED_TO = 0.62
"""Share of a lobe that carries ribs; behind it lies the smooth part that legs and claws grow out of (judgement)."""


@dataclass(frozen=True)
class CrawBody:
    """The lobes' and the core's places and girths, in closed form from the parameters; mm."""

    params: Params

    def _of(self, name: str) -> float:
        return number(self.params, name)

    @property
    def fan(self) -> float:
        """How far the fan reaches ahead of the body."""
        fan = self._of("tail_fan")
        return fan if fan >= LEAST_FAN else 0.0

    @property
    def begin(self) -> float:
        """Where the body begins, from the nose."""
        return self.fan

    @property
    def length(self) -> float:
        """Length of the body."""
        return self._of("body_share") * self._of("length")

    @property
    def end(self) -> float:
        """Where the body ends."""
        return self.begin + self.length

    @property
    def ends(self) -> tuple[float, float]:
        """Lengths of a lobe's rounded ends."""
        height = self._of("body_height")
        return 0.45 * height * self._of("body_taper"), 0.75 * height

    @property
    def lobe_length(self) -> float:
        """Length of a lobe along its own path."""
        return (1 - AHEAD - BEHIND) * self.length

    @property
    def lobes_begin(self) -> float:
        """Where the lobes begin, from the nose."""
        return self.begin + AHEAD * self.length

    @property
    def core_slope(self) -> float:
        """How fast the core widens to each side."""
        return self._of("core_width") / 2 * (1 - self._of("body_taper")) / self.length

    def core_half_width(self, x: float) -> float:
        """Half-width of the core at `x` mm from the nose."""
        return self._of("core_width") / 2 * self._of("body_taper") + self.core_slope * (x - self.begin)

    @cached_property
    def lobe_half_widths(self) -> tuple[float, float]:
        """Half-width of a lobe, ribs and all, at its two ends (as if they were not rounded).

        Half the body = core + 2 lobe - rib depth - overlap, at the nose and where the rear end begins to round.
        """
        half, taper = self._of("body_width") / 2, self._of("body_taper")
        held = self._of("lobe_overlap") + self._of("rib_depth")
        square = self.lobe_length - self.ends[1]
        first = (taper * half - self.core_half_width(self.lobes_begin) + held) / 2
        rear = (half - self.core_half_width(self.lobes_begin + square) + held) / 2
        return first, first + (rear - first) * self.lobe_length / square

    @cached_property
    def lobe_path(self) -> StraightPath:
        """The left lobe's path, so that the floor of its grooves runs into the core by the stated overlap all along.

        The floor's inner edge is straight, and so is the core's; they are parallel where the path turns out by the sum
        of the core's and the lobe's own slopes. Its first point then follows from the overlap.
        """
        first, last = self.lobe_half_widths
        own, core = (last - first) / self.lobe_length, self.core_slope
        turn = (own + core) / (1 - own * core)
        cosine = 1 / math.sqrt(1 + turn * turn)
        sine = turn * cosine
        floor, x = first - self._of("rib_depth"), self.lobes_begin
        y = floor * cosine + self.core_half_width(x + floor * sine) - self._of("lobe_overlap")
        return StraightPath(self.lobe_length, (x, y, 0.0), (cosine, sine, 0.0), (-sine, cosine, 0.0))

    @cached_property
    def ribs(self) -> Ribs | Plain:
        """The lobes' relief; none where not even one rib fits."""
        pitch = self._of("rib_pitch")
        land = min(1.2, 0.4 * pitch)
        edge = min(0.3, land / 2, (pitch - land) / 3)
        begin = self.ends[0] + land
        count = math.floor((RIBBED_TO * self.lobe_length - begin) / pitch + 1e-9)
        if count < 1:
            return Plain(self.ends)
        return Ribs(count, pitch, self._of("rib_depth"), land, edge, begin, self.ends)

    @cached_property
    def left_lobe(self) -> Strand:
        """The left lobe."""
        first, last = self.lobe_half_widths
        height, taper = self._of("body_height"), self._of("body_taper")
        square = self.lobe_length - self.ends[1]
        last_height = taper * height + height * (1 - taper) * self.lobe_length / square
        girth = Girth.oval((0.0, 2 * first, taper * height), (1.0, 2 * last, last_height))
        lobe = Strand("left lobe", "trunk", self.lobe_path, girth, self.ribs, section=self.section)
        smooth = self._of("nose_smooth") / 100 * self._of("length") - self.lobes_begin
        if smooth <= 0:
            return lobe
        return replace(lobe, zones=(Zone(0.0, level_place(lobe, min(smooth, self.lobe_length))),))

    @property
    def section(self) -> Section:
        """The sections' shape: ellipses, cut level at the belly where it is flat."""
        cut = self._of("flat_belly")
        return Section(floor=(0.5 - cut) * self._of("body_height")) if cut > 0 else ELLIPSE

    @cached_property
    def right_lobe(self) -> Strand:
        """The left lobe, handed."""
        return self.left_lobe.handed("right lobe")

    @cached_property
    def core(self) -> Strand:
        """The core, from one end of the body to the other."""
        height, taper = CORE_HEIGHT * self._of("body_height"), self._of("body_taper")
        width = self._of("core_width")
        girth = Girth.oval((0.0, taper * width, taper * height), (1.0, width, height))
        relief = Plain((taper * height / 2, height / 2))
        return Strand(
            "core", "core", StraightPath(self.length, (self.begin, 0.0, 0.0)), girth, relief, section=self.section
        )

    def lobe_axis(self, share: float) -> Point:
        """A point on the left lobe's path, at a share of its length."""
        (x, y, z), (cosine, sine, _) = self.lobe_path.start, self.lobe_path.direction
        return x + cosine * share * self.lobe_length, y + sine * share * self.lobe_length, z
