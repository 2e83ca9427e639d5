"""Baits that have been tried: each worked out once, counted, and put in order."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from worker.errors import Fault
from worker.fit.axes import Values
from worker.fit.gauge import Gauge, Told
from worker.fit.request import FitRequest
from worker.fit.require import EVEN, Margin, Requirement
from worker.fit.space import Space
from worker.request import Request
from worker.request.bounds import too_fine
from worker.values.parameter import Value, six_digits

KEPT = 48
"""Baits whose strands are kept."""


class Spent(Exception):
    """As many baits have been worked out as may be; caught within the package."""


@dataclass(frozen=True)
class Trial:
    """One bait: `faults` says why it cannot be. Figures are worked out once, when they are asked for.

    `look` gives its gauge, of a bait that stands. It holds all strands, and so is not kept here.
    """

    values: Values
    faults: tuple[Fault, ...]
    look: Callable[[Values], Gauge]
    _margins: dict[str, tuple[Margin, ...]] = field(default_factory=dict, repr=False, compare=False)
    _figures: dict[str, Told] = field(default_factory=dict, repr=False, compare=False)

    @property
    def stands(self) -> bool:
        """Whether there is such a bait."""
        return not self.faults

    def margins(self, requirement: Requirement) -> tuple[Margin, ...]:
        """Of one requirement."""
        known = self._margins.get(requirement.key)
        if known is None:
            known = self._margins[requirement.key] = requirement.margins(self.look(self.values))
        return known

    def missed(self, requirement: Requirement) -> float:
        """By what share a requirement is missed; 0 where it is met."""
        return max((max(-margin.value, 0.0) for margin in self.margins(requirement)), default=0.0)

    def off(self, requirement: Requirement) -> float:
        """By what share the figure is off what it has to equal, beyond what is as good as equal."""
        return max(
            (max(margin.aim - margin.value - EVEN, 0.0) for margin in self.margins(requirement) if margin.tight),
            default=0.0,
        )

    def figure(self, name: str) -> Told:
        """A figure at six digits."""
        if name not in self._figures:
            self._figures[name] = self.look(self.values).figure(name)
        return self._figures[name]

    def value(self, requirement: Requirement) -> Told:
        """The figure that a requirement is about."""
        return requirement.value(self.look(self.values))


Score = Callable[[Trial], float]
"""The less, the better; infinite where a bait has no such figure."""


@dataclass(frozen=True)
class Aim:
    """What one search is after: requirements to be met, and a score to be made small."""

    requirements: tuple[Requirement, ...]
    score: Score
    near: Values | None = None
    """Where the score is the distance from these values: a search then knows its shape."""
    _known: dict[Values, tuple[float, float, float]] = field(default_factory=dict, repr=False, compare=False)

    def missed(self, trial: Trial) -> float:
        """By how much the requirements are missed together; infinite of what does not stand."""
        if not trial.stands:
            return math.inf
        return six_digits(sum(trial.missed(each) for each in self.requirements))

    def order(self, trial: Trial) -> tuple[float, float, float]:
        """Baits in order: by what they miss, to three digits, then by how many requirements that is.

        Of those that meet all by how near they are to what has to be equal; what is as near as that by its score.
        """
        # A search asks again and again for the best of all that it knows.
        known = self._known.get(trial.values)
        if known is None:
            known = self._known[trial.values] = self._order(trial)
        return known

    def _order(self, trial: Trial) -> tuple[float, float, float]:
        missed = self.missed(trial)
        if math.isinf(missed):
            return missed, 0.0, math.inf
        if missed > 0:
            return float(f"{missed:.3g}"), float(sum(trial.missed(each) > 0 for each in self.requirements)), missed
        off = six_digits(sum(trial.off(each) for each in self.requirements))
        return missed, off, self.score(trial)


class Trials:
    """Every bait that a fit has tried. `most` may be raised from stage to stage."""

    def __init__(self, request: FitRequest) -> None:
        self.request = request
        self.axes = request.axes
        self.most = 0
        self._known: dict[Values, Trial] = {}
        # A bait's strands are large: those looked at last are kept, others made again in the rare case.
        self._look = lru_cache(maxsize=KEPT)(lambda values: Gauge.of(self.bait(values)))

    @cached_property
    def space(self) -> Space:
        """The room that all of its searches move in."""
        return Space(self.axes)

    @property
    def made(self) -> int:
        """How many have been worked out."""
        return len(self._known)

    @property
    def all(self) -> Sequence[Trial]:
        """In the order in which they were tried."""
        return tuple(self._known.values())

    def named(self, values: Values) -> Mapping[str, Value]:
        """Values by the names of their axes."""
        return {axis.name: value for axis, value in zip(self.axes, values, strict=True)}

    def trial(self, values: Values) -> Trial:
        """The bait of these values. Raises Spent where no more may be worked out."""
        known = self._known.get(values)
        if known is not None:
            return known
        if self.made >= self.most:
            raise Spent
        request = self.bait(values)
        faults = tuple(request.infeasible()) or tuple(too_fine(request.bait, request.tolerance))
        made = self._known[values] = Trial(values, faults, self._look)
        return made

    def bait(self, values: Values) -> Request:
        """The request of these values."""
        return self.request.bait(self.named(values))

    def best(self, aim: Aim) -> Trial | None:
        """The best of those that stand; of equals the nearest to where the fit starts, then the first tried."""
        standing = [trial for trial in self._known.values() if trial.stands]
        return min(standing, key=lambda trial: (*aim.order(trial), self.distance(trial.values)), default=None)

    def distance(self, values: Values, origin: Values | None = None) -> float:
        """How much of its range each value has moved from `origin` (where the fit starts), all together."""
        origin = tuple(self.request.normal["start"].values()) if origin is None else origin
        total = 0.0
        for axis, value, at in zip(self.axes, values, origin, strict=True):
            if axis.choices:
                total += float(value != at)
            else:
                total += abs(float(value) - float(at)) / ((axis.maximum - axis.minimum) or 1.0)
        return six_digits(total)
