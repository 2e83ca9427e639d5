"""Figures of one bait, each worked out only when a fit asks for it: the very ones of its estimate, at six digits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from worker.checks.all import check_all
from worker.checks.answer import Answer
from worker.checks.overlap import overlap_of
from worker.checks.subject import Subject
from worker.handling import fall_in, spread_in
from worker.measures.bending.backbone import beam_of_trunk
from worker.measures.bending.of_bait import Bent, Give, bending_of, trunk_give
from worker.measures.water.fall import SUSPENDS_SHARE, Fall
from worker.measures.water.spread import Spread
from worker.request import Request
from worker.strands.beads import Beads
from worker.values.parameter import six_digits

Told = float | str | None
"""A figure: a number at six digits, a word, or None where the bait has none of the kind."""


@dataclass(frozen=True)
class Gauge:
    """A bait that stands, seen through what is asked of it. Nobody asks for remedies here."""

    subject: Subject

    @classmethod
    def of(cls, request: Request) -> Gauge:
        """Of a request whose bait has been found to stand."""
        return cls(Subject(request, mends=False))

    def figure(self, name: str) -> Told:
        """A figure of `figures.FIGURES`. Raises KeyError."""
        of = _OF.get(name)
        value = self._in_water(name) if of is None else of(self)
        return value if value is None or isinstance(value, str) else six_digits(value)

    @cached_property
    def answers(self) -> tuple[Answer, ...]:
        """What every check says that is not silenced."""
        return tuple(answer for answer in check_all(self.subject) if not answer.silenced)

    @cached_property
    def volume(self) -> float:
        """mm3."""
        return six_digits(self.subject.size.volume)

    @cached_property
    def spread(self) -> Spread:
        """Where its plastic lies."""
        return spread_in(self.subject)

    @cached_property
    def trunk_pull(self) -> float | None:
        """N; None in several pieces. Of joints behind a rig's hook the one with the smallest pull over its limit."""
        if self.subject.pieces > 1:
            return None
        shares = [
            (float(pull / limit), float(pull))
            for group in self.subject.joint_groups
            if group.strand_kind == "trunk"
            for pull, limit in zip(group.joints.pull, group.limits, strict=True)
        ]
        return min(shares)[1] if shares else self.subject.rod_pull

    @cached_property
    def neck(self) -> float | None:
        """Diameter, mm, of the thinnest neck of the trunk."""
        of_trunk = [group.joints.diameter for group in self.subject.joint_groups if group.strand_kind == "trunk"]
        necks = np.concatenate(of_trunk) if self.subject.pieces == 1 else np.empty(0)
        return float(necks.min()) if len(necks) else None

    @cached_property
    def give(self) -> Give | None:
        """Of the trunk's tip; None in several pieces."""
        subject = self.subject
        if subject.pieces > 1:
            return None
        beam = beam_of_trunk(subject.trunk_strands, subject.hold, subject.hollows)
        return trunk_give(subject.trunk_strands, beam, subject.plastic.modulus.typical)

    @cached_property
    def bending_length(self) -> float | None:
        """mm; None in several pieces, and where nothing is left behind the hold."""
        subject = self.subject
        if subject.pieces > 1:
            return None
        bent = Bent(subject.trunk_strands, subject.limbs, subject.hollows, self.spread, subject.hold)
        plastic = subject.plastic
        bending = bending_of(bent, plastic.modulus.typical, plastic.density.typical, {})
        return None if bending is None else bending.bending_length

    @property
    def overlap(self) -> float | None:
        """Of beads."""
        return overlap_of(self.subject) if isinstance(self.subject.trunk.relief, Beads) else None

    @property
    def pull_over_limit(self) -> float | None:
        """Of the weakest joint; of a trunk without one, of its thinnest place."""
        subject, weakest = self.subject, self.subject.weakest
        if weakest is None:
            return subject.rod_pull / subject.joint_limit if subject.pieces == 1 else None
        return float(subject.joints.pull[weakest] / subject.joint_limits[weakest])

    @property
    def weakest_pull(self) -> float | None:
        """N, of the weakest joint; of a trunk without one, of its thinnest place."""
        subject, weakest = self.subject, self.subject.weakest
        if weakest is None:
            return subject.rod_pull if subject.pieces == 1 else None
        return float(subject.joints.pull[weakest])

    def fall(self, name: str) -> Fall | None:
        """By the beginning of a figure's name: fresh or salt water, bare or rigged; None rigged without a rig."""
        rigged = name.startswith(("fresh_water_rigged", "salt_water_rigged"))
        if rigged and self.subject.rig is None:
            return None
        return fall_in(self.subject, self.spread, self.volume, name[: len("salt_water")].rstrip("_"), rigged=rigged)

    def _in_water(self, name: str) -> Told:
        fall = self.fall(name)
        if fall is None:
            return None
        if name.endswith("_behaviour"):
            return fall.behaviour
        return fall.speed if name.endswith("_sink_rate_mm_s") else fall.attitude

    def behaves(self, name: str, asked: str) -> float:
        """By what share of its mass the net mass is on the side of `asked`, or, below 0, misses it."""
        fall = self.fall(name)
        if fall is None:
            return -1.0
        least = SUSPENDS_SHARE * fall.mass
        margin = {
            "sinks": min(fall.net - least, fall.net_low),
            "floats": min(-fall.net - least, -fall.net_high),
            "suspends": max(least - abs(fall.net), min(-fall.net_low, fall.net_high)),
        }[asked]
        share = six_digits(margin / fall.mass)
        return max(share, 0.0) if fall.behaviour == asked else min(share, -1e-6)


_OF: dict[str, Callable[[Gauge], float | None]] = {
    "pull_over_limit": lambda one: one.pull_over_limit,
    "trunk_pull_n": lambda one: one.trunk_pull,
    "weakest_pull_n": lambda one: one.weakest_pull,
    "neck_mm": lambda one: one.neck,
    "overlap": lambda one: one.overlap,
    "flexibility_ratio": lambda one: one.subject.flexibility_ratio,
    "tip_give_up_down_mm_per_mn": lambda one: None if one.give is None else one.give.up_down,
    "tip_give_side_mm_per_mn": lambda one: None if one.give is None else one.give.side,
    "bending_length_mm": lambda one: one.bending_length,
    "length_mm": lambda one: one.subject.size.length,
    "max_width_mm": lambda one: one.subject.size.max_width,
    "max_height_mm": lambda one: one.subject.size.max_height,
    "volume_mm3": lambda one: one.volume,
    "mass_g": lambda one: one.volume / 1000 * one.subject.plastic.density.typical,
    "baits_per_litre": lambda one: 1e6 / one.volume,
    "thinnest_mm": lambda one: one.subject.thinnest.across if one.subject.pieces == 1 else None,
    "hook_hold_n": lambda one: None if one.subject.hook is None else one.subject.hook.hold,
    "hook_clearance_mm": lambda one: None if one.subject.hook is None else one.subject.hook.clearance,
}
