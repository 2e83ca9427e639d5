"""Tails of every kind, from the parameters that the styles share.

A style puts `tail_parameters.TAIL` among its parameters, makes its trunk `trunk_length(params)` long instead of
`length`, adds `tail_strands(trunk, params)` behind it, and asks `tail_feasible` what cannot be.

Everything behind the trunk's end is rigid: its reach is known before its place is, so that the bait ends exactly at its
overall length.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.measures.strand.extent import extent_of
from worker.strands.attach import attach
from worker.strands.strand import Strand
from worker.styles.placing import Place, place_on, rounded_end
from worker.styles.style import Params, Remedy
from worker.styles.tail_blades import Blade, beaver, ribbon, rod
from worker.styles.tail_curl import curl
from worker.styles.tail_kick import kick
from worker.styles.tail_lobes import FORK, SPLIT, parted
from worker.styles.worm_parameters import number

BLADED = ("curl", "ribbon", "split", "beaver", "fork")
"""Tails that are blades: as wide as `tail_width`, and they lie upright or flat."""
ALONE = ("kick", "split", "fork")
"""Tails of which there is one only."""
ROOT_BLEND, LEAST_BLEND = 0.3, 0.8
"""Radius of the round where a tail leaves the trunk, over its wrist, and the least one, mm (judgement)."""
ROOM = 0.8
"""Least gap between two tails where they are widest, mm: the thinnest wall of a mould that lasts (judgement)."""
LEAST_SPREAD, WIDEST_SPREAD = 12.0, 55.0
"""Least and greatest angle between two tails, degrees (judgement)."""
WIDEST_AT = {"curl": 0.3, "ribbon": 0.35, "beaver": 0.6, "straight": 0.3, "spike": 0.3}
"""Where along a tail two of them have to be clear of each other, as a share of their length (judgement)."""
DEEPEST = 1.0
"""How deep a tail's path begins inside of the trunk, over the trunk's half-thickness there (judgement)."""
PADDLE = 1.15
"""Height of a kick tail's paddle over its width (judgement)."""


@dataclass(frozen=True)
class Tail:
    """The measures of a bait's tails, mm and degrees."""

    kind: str
    blade: Blade
    degrees: float
    inner: float
    count: int
    upright: bool

    @classmethod
    def of(cls, params: Params) -> Tail | None:
        """From parameters; None where there is no tail."""
        kind = str(params.get("tail", "none"))
        if kind == "none":
            return None
        names = ("width", "wrist", "root_thickness", "tip_thickness")
        length = number(params, "tail_length") / 100 * number(params, "length")
        return cls(
            kind,
            Blade(length, *(number(params, f"tail_{name}") for name in names)),
            number(params, "tail_curl"),
            number(params, "tail_curl_radius"),
            int(params["tail_count"]),
            params["tail_lie"] == "upright",
        )

    @property
    def spread(self) -> float | None:
        """Angle between neighbouring tails, degrees, so that they are clear of each other; None where none does."""
        if self.count == 1:
            return 0.0
        away = WIDEST_AT[self.kind] * self.blade.length
        sine = (self._across + ROOM) / (2 * away)
        if sine >= math.sin(math.radians(WIDEST_SPREAD / 2)):
            return None
        return max(2 * math.degrees(math.asin(round(sine, 9))), LEAST_SPREAD)

    @property
    def _across(self) -> float:
        """How wide a tail is to its sides."""
        if self.kind not in BLADED:
            return self.blade.wrist
        if not self.upright:
            # A curl sweeps away from its neighbour; what lies beside that is the inner half of its blade.
            return self.blade.width
        wave = self.blade.width if self.kind == "ribbon" else 0.0
        return max(self.blade.root_thickness, wave)

    def strands(self, place: Place, depth: float) -> tuple[tuple[Strand, ...], ...]:
        """The tails to the left and in the middle: each its own strands, the first of which grows out of the trunk.

        Those that have a counterpart on the right have "left" in their name. Raises CurlTooTight.
        """
        spread = self.spread or 0.0
        if self.count == 1:
            return (self._one("tail", place, depth, 0.0),)
        if self.count == 2:
            return (self._one("left tail", place, depth, spread / 2),)
        return self._one("middle tail", place, depth, 0.0), self._one("left tail", place, depth, spread)

    def _one(self, name: str, place: Place, depth: float, yaw: float) -> tuple[Strand, ...]:
        place, blade = place.turned(yaw), self.blade
        # Three curls do not lie side by side in one plane: the middle one stands up.
        upright = self.upright or (self.kind == "curl" and self.count == 3 and yaw == 0)
        if upright and self.kind in BLADED:
            place = place.on_edge()
        if self.kind == "straight":
            return (rod(name, place, depth, blade.length, blade.wrist, blade.wrist),)
        if self.kind == "spike":
            return (rod(name, place, depth, blade.length, blade.wrist, min(blade.tip_thickness, blade.wrist)),)
        if self.kind == "beaver":
            return (beaver(name, place, depth, blade),)
        if self.kind == "ribbon":
            return (ribbon(name, place, depth, blade),)
        if self.kind == "curl":
            return (curl(name, place, depth, blade, self.degrees, self.inner),)
        if self.kind == "kick":
            disc = (blade.width, PADDLE * blade.width, blade.root_thickness)
            return kick(name, place, depth, blade.length, (blade.wrist, blade.wrist), disc)
        sides = ("lower", "upper") if upright else ("left", "right")
        return parted(name, place, depth, blade, FORK if self.kind == "fork" else SPLIT, sides)


@lru_cache(maxsize=256)  # asked before a bait is taken and to make it, and by every remedy that leaves the tail alone
def reach_of(tail: Tail) -> float:
    """How far the tails end behind the trunk, along the bait. Raises CurlTooTight."""
    strands = [strand for each in tail.strands(Place(), 1.0) for strand in each]
    return max(float(extent_of(strand)[1][0]) for strand in strands)


def trunk_length(params: Params) -> float:
    """Length, mm, of a straight trunk that ends where its tails begin; all of the bait where it has none.

    Raises CurlTooTight; tail_feasible.tail_faults says so before.
    """
    tail = Tail.of(params)
    return number(params, "length") - (0.0 if tail is None else reach_of(tail))


def with_trunk_length(params: Params) -> Params:
    """The parameters as the trunk sees them: its own length in place of the overall one."""
    return {**params, "length": trunk_length(params)} if params.get("tail", "none") != "none" else params


def tail_strands(trunk: Strand, params: Params) -> tuple[Strand, ...]:
    """The tails, rooted in the trunk's end. Raises CurlTooTight, RootOutside."""
    tail = Tail.of(params)
    return () if tail is None else strands_of(tail, trunk)


def strands_of(tail: Tail, trunk: Strand) -> tuple[Strand, ...]:
    """As `tail_strands`, from measures."""
    rooted: list[Strand] = []
    blend = max(ROOT_BLEND * tail.blade.wrist, LEAST_BLEND)
    for first, *others in tail.strands(*tail_end(trunk)):
        grown = attach(first, trunk, blend)
        # A lobe or a paddle leaves a blade along it: there is no corner for a ball to roll in.
        both = [grown, *(attach(other, first, 0.0) for other in others)]
        rooted += both
        if tail.count > 1 and "left" in first.name:
            rooted += [strand.handed(strand.name.replace("left", "right"), trunk.name) for strand in both]
    return tuple(rooted)


def tail_end(trunk: Strand) -> tuple[Place, float]:
    """Where a trunk ends, and how far ahead of that a tail's path may begin; mm."""
    length = trunk.path.length
    cap = rounded_end(trunk)
    half = least_reach(trunk, length - max(cap, 0.01 * length))
    return place_on(trunk.path, length), max(cap, DEEPEST * half)


def least_reach(trunk: Strand, station: float) -> float:
    """How far the trunk reaches from its path where it reaches least, mm."""
    side, back, belly = trunk.smooth.sizes(np.array([station]))
    return float(min(side[0], back[0], trunk.section.below(belly)[0]))


TAIL_REMEDIES: dict[str, tuple[Remedy, ...]] = {
    "joint_pull of tail": (
        Remedy("tail_wrist", up=True, text="a tail wrist of {value} mm"),
        Remedy("tail_root_thickness", up=True, text="a tail {value} mm thick at its root"),
    ),
    "thin_feature of tail": (
        Remedy("tail_tip_thickness", up=True, text="a tail {value} mm thick at its tip"),
        Remedy("tail_root_thickness", up=True, text="a tail {value} mm thick at its root"),
        Remedy("tail_wrist", up=True, text="a tail wrist of {value} mm"),
    ),
}
"""What mends a tail; a style adds them to its own remedies."""
