"""The front of pull against flexibility: the baits that no other beats on both."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from worker.fit.aims import score_of
from worker.fit.fields import BENDING_AXES, PULL_AXES
from worker.fit.figures import FIGURES
from worker.fit.local import Climb
from worker.fit.require import CheckAsked, FigureAsked, Requirement
from worker.fit.telling import params_in_words
from worker.fit.trials import Aim, Spent, Trial, Trials

TRADED = (*PULL_AXES, *BENDING_AXES, "neck_mm", "overlap")
"""Figures that are what is traded: a front is not held to them, and says which of its baits meet them."""
TRADED_CHECKS = ("joint_pull", "overlap")
OF_USE = 0.4
"""A front ends where the weakest joint holds this share of what is asked: weaker is of no use (judgement)."""
DECADES_FROM = 20.0
"""From this ratio of the greatest figure to the least on, a front is told by powers of ten."""
STEPS = 8
"""Steps from a bait that is known towards one that is better on the way along the front."""


@dataclass(frozen=True)
class Pair:
    """A bait with its two figures, each the more the better."""

    trial: Trial
    pull: float
    flexibility: float


class Front:
    """The front of one fit. `held`: the requirements that all of its baits meet."""

    def __init__(self, trials: Trials, requirements: Sequence[Requirement]) -> None:
        asked = trials.request.normal["front"]
        self.trials, self.requirements, self.points = trials, tuple(requirements), int(asked["points"])
        self.pull, self.flexibility = str(asked["pull"]), str(asked["flexibility"])
        of_use = FigureAsked("pull_over_limit", {"at_least": OF_USE})
        self.held = (*(each for each in requirements if not _traded(each)), of_use)

    def work_out(self, most: int) -> None:
        """Looks for baits along the front, the strongest and the one that bends most first, by `most` more trials."""
        self.trials.most = self.trials.made + most
        pulls, gives = (Aim(self.held, score_of(name, greatest=True)) for name in (self.pull, self.flexibility))
        try:
            for aim in (pulls, gives):
                best = self.trials.best(aim)
                if best is not None:
                    self._climb(best, aim, 3 * STEPS)
            for _ in range(self.points):
                if not self._fill_widest_gap():
                    break
        except Spent:
            return

    def shown(self, best: Trial) -> list[Pair]:
        """As many as are asked for, the best for the goal among them where no other beats it."""
        return thinned(self.known(), self.points, best)

    def _climb(self, start: Trial, aim: Aim, steps: int) -> Trial:
        return Climb(self.trials, aim).climb(start, reach=0.1, most=steps)

    def known(self) -> list[Pair]:
        """The baits tried so far that no other beats, the strongest first."""
        pairs = []
        for trial in self.trials.all:
            if not trial.stands or any(trial.missed(each) > 0 for each in self.held):
                continue
            pull, flexibility = trial.figure(self.pull), trial.figure(self.flexibility)
            if isinstance(pull, (int, float)) and isinstance(flexibility, (int, float)):
                pairs.append(Pair(trial, float(pull), float(flexibility)))
        pairs.sort(key=lambda pair: (-pair.pull, -pair.flexibility))
        front: list[Pair] = []
        for pair in pairs:
            if not front or pair.flexibility > front[-1].flexibility:
                front.append(pair)
        return front

    def _fill_widest_gap(self) -> bool:
        """Towards the bait that bends most of those that hold what lies between two neighbours. Raises Spent."""
        front = self.known()
        if len(front) < 2:
            return False
        gaps = [(round(apart(front, a, b), 9), place) for place, (a, b) in enumerate(itertools.pairwise(front))]
        for _, place in sorted(gaps, key=lambda gap: (-gap[0], gap[1])):
            strong, limp = front[place], front[place + 1]
            middle = float(f"{(strong.pull + limp.pull) / 2:.6g}")
            least = FigureAsked(self.pull, {"at_least": middle})
            aim = Aim((*self.held, least), score_of(self.flexibility, greatest=True))
            before = self.trials.made
            self._climb(strong.trial, aim, STEPS)
            if self.trials.made > before:
                return True
        return False

    def describe(self, front: Sequence[Pair]) -> dict[str, Any]:
        """JSON-ready: the two figures, and every bait with its free values, ready to be ordered by its patch."""
        return {
            "pull": {"figure": self.pull, "unit": FIGURES[self.pull].unit},
            "flexibility": {"figure": self.flexibility, "unit": FIGURES[self.flexibility].unit},
            "points": [self._point(pair) for pair in front],
        }

    def meets(self, pair: Pair) -> bool:
        """Whether a bait meets all that the fit requires."""
        return all(pair.trial.missed(each) == 0 for each in self.requirements)

    def _point(self, pair: Pair) -> dict[str, Any]:
        trial, request = pair.trial, self.trials.bait(pair.trial.values)
        told = f"{FIGURES[self.pull].say(pair.pull)}, {FIGURES[self.flexibility].say(pair.flexibility)}"
        return {
            "pull": pair.pull,
            "flexibility": pair.flexibility,
            "meets": self.meets(pair),
            "misses": [each.name for each in self.requirements if trial.missed(each) > 0],
            "free": dict(self.trials.named(trial.values)),
            "bait": request.id,
            "request": request.normal,
            "text": f"{params_in_words(self.trials, trial)}: {told}.",
        }


def _traded(requirement: Requirement) -> bool:
    if isinstance(requirement, CheckAsked):
        return requirement.check in TRADED_CHECKS
    return requirement.name in TRADED


def apart(front: Sequence[Pair], one: Pair, other: Pair) -> float:
    """How far apart two baits are on the plot, each figure over its span along the front."""
    pulls = share_along(front[-1].pull, front[0].pull)
    gives = share_along(front[0].flexibility, front[-1].flexibility)
    across, up = pulls(one.pull) - pulls(other.pull), gives(one.flexibility) - gives(other.flexibility)
    return math.sqrt(across * across + up * up)


def by_decades(least: float, greatest: float) -> bool:
    """Whether figures of such a range are better told apart by their ratios."""
    return least > 0 and greatest > DECADES_FROM * least


def share_along(least: float, greatest: float) -> Callable[[float], float]:
    """From a figure to where it lies between the least, 0, and the greatest, 1: evenly, or by its logarithm."""
    if by_decades(least, greatest):
        span = math.log10(greatest / least)
        return lambda value: math.log10(value / least) / span
    even = (greatest - least) or 1.0
    return lambda value: (value - least) / even


def thinned(front: Sequence[Pair], most: int, stays: Trial) -> list[Pair]:
    """At most so many, both ends and `stays` among them: again and again the one goes that is nearest to the others."""
    kept = list(front)
    while len(kept) > most:
        inner = [place for place in range(1, len(kept) - 1) if kept[place].trial.values != stays.values]
        gaps = {place: round(apart(front, kept[place - 1], kept[place + 1]), 9) for place in inner}
        kept.pop(min(inner, key=lambda place: (gaps[place], place)))
    return kept
