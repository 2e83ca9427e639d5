"""The legs of a lizard: out of the body, round the knee, and to the foot. Left ones; the right ones are handed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath
from worker.strands.path import Point
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.styles.directions import beyond, level_left, towards
from worker.styles.limbs import Rooted, thinning
from worker.styles.lizard_body import legs_at
from worker.styles.style import Params
from worker.styles.tracks import Track
from worker.styles.worm_parameters import number

FALL = -9.0
"""Angle of a leg above level (judgement)."""
KNEE_AT = 0.46
"""Where the knee is, over the leg's length (judgement)."""
KNEE_RADIUS = 0.85
"""Radius on which the knee turns over the leg's thickness at its root (judgement)."""
FOOT_FROM = 0.56
"""Where a flapper or a curl begins, over the leg's length (judgement)."""
CURL = 210.0
"""Degrees that a curled foot turns by, outward (judgement)."""
FLAPPER: tuple[tuple[float, float], ...] = ((0.4, 0.84), (0.7, 1.0), (1.0, 0.84))
CURLED: tuple[tuple[float, float], ...] = ((0.25, 0.62), (0.6, 0.52), (1.0, 0.34))
"""Shares of a foot with its width there over the greatest (judgement)."""
DEEP = 0.7
"""How far below the body's skin a leg's path begins, over the body's half-width there (judgement)."""


@dataclass(frozen=True)
class Leg:
    """The left leg of a pair, `front_legs` or `hind_legs`."""

    params: Params
    trunk: Strand
    which: str

    def _of(self, name: str) -> float:
        return number(self.params, name)

    @property
    def radius(self) -> float:
        """On which the knee turns."""
        return KNEE_RADIUS * self._of("leg_root")

    @property
    def rooted(self) -> Rooted:
        """Out of the body's side, the thigh as far ahead of the whole leg's direction as the shin is behind it."""
        thigh = 90.0 - self._of("leg_sweep") + self._of("knee") * (1 - KNEE_AT)
        leave, station = towards(thigh, FALL), legs_at(self.params, self.which)
        half_width, half_height = (float(size[0]) for size in self.trunk.smooth.half_sizes(np.array([station])))
        turn = math.radians(FALL)
        skin: Point = (station, half_width * math.cos(turn), half_height * math.sin(turn))
        depth = DEEP * half_width / math.hypot(leave[1], leave[2])
        return Rooted(beyond(skin, leave, -depth), depth, leave)

    @property
    def track(self) -> Track:
        """From the body's skin to the tip."""
        rooted, length, knee = self.rooted, self._of("leg_length"), self._of("knee")
        yaw = math.degrees(math.atan2(rooted.leave[1], rooted.leave[0]))
        track = Track.from_point(rooted.surface, rooted.leave, towards(yaw - 90.0))
        bend = self.radius * math.radians(knee)
        before = KNEE_AT * length - bend / 2
        track = track.straight(before)
        if knee > 0:
            track = track.arc(knee, self.radius)
        rest = length - before - bend
        if self._foot != "curl":
            return track.straight(rest)
        curled = (1 - FOOT_FROM) * length
        return track.straight(rest - curled).arc(-CURL, curled / math.radians(CURL))

    @property
    def _foot(self) -> str:
        return str(self.params["foot"])

    def strand(self) -> Strand:
        """The leg, not yet grown to the body."""
        rooted = self.rooted
        path = HermitePath(rooted.knots(self.track.knots), level_left(rooted.leave))
        name = f"left {'front' if self.which == 'front_legs' else 'hind'} leg"
        root, tip = self._of("leg_root"), self._of("leg_tip")
        if self._foot == "plain":
            return thinning(name, "leg", path, rooted.depth, root, tip)
        whole, length, broad = path.length, self._of("leg_length"), self._of("foot_width")
        ankle = root + (tip - root) * FOOT_FROM
        stations = [(0.0, root, root), (rooted.depth / whole, root, root)]
        stations.append(((rooted.depth + FOOT_FROM * length) / whole, ankle, ankle))
        for share, wide in FLAPPER if self._foot == "flapper" else CURLED:
            at = (rooted.depth + (FOOT_FROM + share * (1 - FOOT_FROM)) * length) / whole
            stations.append((min(at, 1.0), max(wide * broad, tip), ankle + share * (tip - ankle)))
        round_end = 0.3 if self._foot == "flapper" else 0.2
        return Strand(name, "leg", path, Girth.oval(*stations), Plain((0.0, round_end * broad)))


def legs(params: Params, trunk: Strand) -> Iterator[Strand]:
    """The left front leg and the left hind leg."""
    for which in ("front_legs", "hind_legs"):
        yield Leg(params, trunk, which).strand()
