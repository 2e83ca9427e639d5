"""A bait's tails by their measures: of which kind, how many, how far spread, and the strands that they are."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.styles.placing import Place
from worker.styles.style import Params
from worker.styles.tail_blades import BEAVER, RIBBON, Blade, beaver, ribbon, rod
from worker.styles.tail_curl import CURL, curl
from worker.styles.tail_kick import kick
from worker.styles.tail_lobes import FORK, SPLIT, parted
from worker.styles.tail_spiral import STEMS
from worker.styles.worm_parameters import number

BLADED = ("curl", "ribbon", "split", "beaver", "fork")
"""Tails that are blades: as wide as `tail_width`, and they lie upright or flat."""
ROOM = 0.8
"""Least gap between two tails where they are widest, mm: the thinnest wall of a mould that lasts (judgement)."""
LEAST_SPREAD, WIDEST_SPREAD = 12.0, 55.0
"""Least and greatest angle between two tails, degrees (judgement)."""
WIDEST_AT = {"curl": 0.3, "ribbon": 0.35, "beaver": 0.6, "straight": 0.3, "spike": 0.3}
"""Where along a tail two of them have to be clear of each other, as a share of their length (judgement)."""
LOOKED_AT = {"curl": 0.35}
"""How far along their length tails are looked at: curls sweep away from each other from there on."""
PARTED = 1.05
"""Angle between two tails over the least that keeps them parted (judgement)."""
PADDLE = 1.15
"""Height of a kick tail's paddle over its width (judgement)."""


@dataclass(frozen=True)
class Tail:
    """The measures of a bait's tails, mm and degrees; `stems`: see tail_spiral.spiral."""

    kind: str
    blade: Blade
    degrees: float
    inner: float
    count: int
    upright: bool
    stems: tuple[float, ...] = STEMS

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
        """Angle between neighbouring tails, degrees, so that they part once and for all; None where none does."""
        if self.count == 1:
            return 0.0
        near = np.arange(1, 65) / 64
        near = near[near <= LOOKED_AT.get(self.kind, 1.0)]
        over = self._across(near) / (2 * near * self.blade.length)
        clear = WIDEST_AT[self.kind]
        sine = (float(self._across(np.array([clear]))[0]) + ROOM) / (2 * clear * self.blade.length)
        widening = np.flatnonzero(np.diff(over) > 0)
        if len(widening):
            # What has parted must not meet again where the tails widen: a hole through the bait would be left between.
            sine = max(sine, PARTED * float(over[widening[0] :].max()))
        if sine >= math.sin(math.radians(WIDEST_SPREAD / 2)):
            return None
        return max(2 * math.degrees(math.asin(round(sine, 9))), LEAST_SPREAD)

    def _across(self, share: Array) -> Array:
        """How wide a tail is to its sides, mm, at shares of its length."""
        blade = self.blade
        if self.kind not in BLADED:
            return np.full(len(share), blade.wrist)
        if self.upright:
            return np.asarray(blade.thickness(share))
        shape = {"curl": CURL, "ribbon": RIBBON, "beaver": BEAVER}[self.kind]
        return blade.girth(shape, 0.0).width(share)

    def strands(self, place: Place, depth: float) -> tuple[tuple[Strand, ...], ...]:
        """The tails, each its own strands, the first of which grows out of the trunk. Raises CurlTooTight."""
        spread = self.spread or 0.0
        yaws = {1: {"tail": 0.0}, 2: {"left tail": spread / 2, "right tail": -spread / 2}}
        three = {"middle tail": 0.0, "left tail": spread, "right tail": -spread}
        return tuple(self._one(name, place, depth, yaw) for name, yaw in yaws.get(self.count, three).items())

    def _one(self, name: str, place: Place, depth: float, yaw: float) -> tuple[Strand, ...]:
        blade = self.blade
        # Three curls do not lie side by side in one plane: the middle one stands up.
        upright = self.upright or (self.kind == "curl" and self.count == 3 and yaw == 0)
        if yaw < 0 and not (upright and self.kind == "ribbon"):
            # Ribbons on edge wave side by side; every other pair is handed.
            made = self._one(name.replace("right", "left"), place, depth, -yaw)
            return tuple(strand.handed(strand.name.replace("left", "right")) for strand in made)
        place = place.turned(yaw)
        if upright and self.kind in BLADED:
            place = place.on_edge()
        match self.kind:
            case "straight":
                return (rod(name, place, depth, blade.length, blade.wrist, blade.wrist),)
            case "spike":
                return (rod(name, place, depth, blade.length, blade.wrist, min(blade.tip_thickness, blade.wrist)),)
            case "beaver":
                return (beaver(name, place, depth, blade),)
            case "ribbon":
                return (ribbon(name, place, depth, blade),)
            case "curl":
                return (curl(name, place, depth, blade, self.degrees, self.inner, stems=self.stems),)
            case "kick":
                disc = (blade.width, PADDLE * blade.width, blade.root_thickness)
                return kick(name, place, depth, blade.length, (blade.wrist, blade.wrist), disc)
        sides = ("lower", "upper") if upright else ("left", "right")
        return parted(name, place, depth, blade, FORK if self.kind == "fork" else SPLIT, sides)
