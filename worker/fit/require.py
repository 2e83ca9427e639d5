"""What a fit requires, each as margins: 0 or more where it is met, below 0 by what share it is missed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from worker.checks import hook_clearance, hook_tear_out, joint_pull
from worker.checks.answer import Answer
from worker.checks.overlap import spare_overlap
from worker.fit.fields import WITHIN
from worker.fit.figures import FIGURES
from worker.fit.gauge import Gauge, Told
from worker.fit.lobes import lobes_touch
from worker.values.parameter import six_digits
from worker.values.questions import CHECKS

MISSING = -10.0
"""The margin of what a bait does not have at all, as one in pieces has no joint."""
HAIR = 2e-5
"""So far inside of a bound, over it, a search aims: beyond what rounding a request's lengths takes away."""
EVEN = 2e-5
"""What is off by this share is as good as equal: a request's lengths go no finer."""
SAME = 1e-9
"""A hair's breadth counts as reached, as it does for a verdict."""


@dataclass(frozen=True)
class Margin:
    """One side of a requirement: its margin, over the bound's own size, and how much of it a search aims for."""

    value: float
    aim: float = HAIR
    tight: bool = False
    """Whether nothing is to be won within it: how near to equal comes before the goal."""


class Requirement(Protocol):
    """One thing that is required of a bait."""

    @property
    def name(self) -> str:
        """Its name in `require`, or `checks.` and the check."""
        ...

    @property
    def key(self) -> str:
        """Equal for equal requirements: the same figure may be asked for in more than one way."""
        ...

    def value(self, gauge: Gauge) -> Told:
        """The figure that it is about, at six digits."""
        ...

    def margins(self, gauge: Gauge) -> tuple[Margin, ...]:
        """One side or two."""
        ...

    def describe(self) -> dict[str, Any]:
        """What is asked, JSON-ready."""
        ...


@dataclass(frozen=True)
class FigureAsked:
    """A figure at least, at most, or equal to what is asked. `told` is as in the request's normal form."""

    name: str
    told: Mapping[str, Any]

    @property
    def key(self) -> str:
        """See Requirement."""
        return f"{self.name} {sorted(self.told.items())}"

    def value(self, gauge: Gauge) -> Told:
        """See Requirement."""
        return gauge.figure(self.name)

    def margins(self, gauge: Gauge) -> tuple[Margin, ...]:
        """See Requirement."""
        asked = self.told.get("equal")
        if isinstance(asked, str):
            return (Margin(gauge.behaves(self.name, asked)),)
        value = self.value(gauge)
        if not isinstance(value, (int, float)):
            return (Margin(MISSING),) * (2 if asked is not None else len(self.told))
        if asked is not None:
            near, size = self.told["within"], abs(asked) or 1.0
            tight = near <= 1.5 * WITHIN * size
            return tuple(Margin((near + way * (value - asked)) / size + SAME, near / size, tight) for way in (1, -1))
        found = []
        for bound, way in (("at_least", 1), ("at_most", -1)):
            if bound in self.told:
                limit = self.told[bound]
                found.append(Margin(way * (value - limit) / (abs(limit) or 1.0) + SAME))
        return tuple(found)

    def describe(self) -> dict[str, Any]:
        """See Requirement."""
        return {"requirement": self.name, **self.told, "unit": FIGURES[self.name].unit}


@dataclass(frozen=True)
class LobesAsked:
    """Lobes that touch from station to station."""

    told: Mapping[str, Any]
    name: str = "lobes_touching"

    @property
    def key(self) -> str:
        """See Requirement."""
        return self.name

    def value(self, gauge: Gauge) -> float:
        """See Requirement: the least overlap, mm."""
        return six_digits(lobes_touch(gauge.subject, self.told["from"], self.told["to"]))

    def margins(self, gauge: Gauge) -> tuple[Margin, ...]:
        """See Requirement."""
        return (Margin(self.value(gauge) - self.told["at_least"] + SAME),)

    def describe(self) -> dict[str, Any]:
        """See Requirement."""
        return {"requirement": self.name, **self.told, "unit": "mm"}


CAUTION_SHARES = {
    "joint_pull": joint_pull.CAUTION_SHARE,
    "hook_tear_out": hook_tear_out.CAUTION_SHARE,
    "hook_clearance": hook_clearance.CAUTION_SHARE,
    "overlap": 0.0,
}
"""From which share of its limit a check is a caution; those that are not named have none, or nearly the limit's own."""


AT_MOST = ("single_piece", "through_hole", "resolution")
"""Checks whose value is to stay at or under its limit."""

OF_WHOLE_BAITS = ("joint_pull", "thin_feature")
"""Checks that are not asked of a bait in pieces, because it is worse than their failing."""


@dataclass(frozen=True)
class CheckAsked:
    """A verdict that is no worse than `verdict`: pass or caution."""

    check: str
    verdict: str

    @property
    def name(self) -> str:
        """See Requirement."""
        return f"checks.{self.check}"

    @property
    def key(self) -> str:
        """See Requirement."""
        return self.name

    def answer(self, gauge: Gauge) -> Answer | None:
        """What the check says, if it is asked of this bait."""
        return next((answer for answer in gauge.answers if answer.check == self.check), None)

    def value(self, gauge: Gauge) -> Told:
        """See Requirement."""
        answer = self.answer(gauge)
        return None if answer is None else six_digits(answer.value)

    def margins(self, gauge: Gauge) -> tuple[Margin, ...]:
        """See Requirement. By the figures that the verdict goes by."""
        answer = self.answer(gauge)
        if answer is None:  # what lies in pieces holds nothing; else it is not asked of such a bait
            lost = self.check in OF_WHOLE_BAITS and gauge.subject.pieces > 1
            return (Margin(-1.0 if lost else 1.0, 0.0),)
        limit = answer.limit * (CAUTION_SHARES.get(self.check, 1.0) if self.verdict == "caution" else 1.0)
        gap = limit - answer.value if self.check in AT_MOST else answer.value - limit
        if self.check == "overlap" and self.verdict == "pass":
            gap = spare_overlap(gauge.subject)  # a thick neck makes up for it
        margin = six_digits(gap / (abs(answer.limit) or 1.0))
        met = answer.verdict == "pass" or self.verdict == answer.verdict
        return (Margin(max(margin, 0.0) if met else min(margin, -1e-6)),)

    def describe(self) -> dict[str, Any]:
        """See Requirement."""
        return {"requirement": self.name, "verdict": self.verdict, "unit": CHECKS[self.check].unit}


def requirements_of(normal: Mapping[str, Any]) -> tuple[Requirement, ...]:
    """All that a fit in normal form requires: its checks first, then its figures."""
    return tuple(_each(normal["require"]))


def _each(require: Mapping[str, Any]) -> Iterator[Requirement]:
    if require["verdicts"] != "any":
        yield from (CheckAsked(check, require["verdicts"]) for check in CHECKS)
    yield from (FigureAsked(name, require[name]) for name in FIGURES if name in require)
    if "lobes_touching" in require:
        yield LobesAsked(require["lobes_touching"])
