"""What searches of a fit are after: its goal, one figure, or as little as can be missed of one requirement."""

from __future__ import annotations

import math
from collections.abc import Sequence

from worker.fit.goals import NEAREST
from worker.fit.require import Requirement
from worker.fit.trials import Aim, Score, Trial, Trials


def aim_of(trials: Trials, requirements: Sequence[Requirement]) -> Aim:
    """The fit's own."""
    ((way, what),) = trials.request.normal["goal"].items()
    if way == NEAREST:
        near = tuple(what[axis.name] for axis in trials.axes)
        return Aim(tuple(requirements), lambda trial: trials.distance(trial.values, near), near)
    return Aim(tuple(requirements), score_of(what, greatest=way == "greatest"))


def score_of(figure: str, *, greatest: bool) -> Score:
    """The less, the better; infinite where a bait has no such figure."""

    def score(trial: Trial) -> float:
        value = trial.figure(figure)
        if not isinstance(value, (int, float)):
            return math.inf
        return -float(value) if greatest else float(value)

    return score


def giving_way(requirements: Sequence[Requirement], gives: Requirement) -> Aim:
    """All others met, and as little as can be missed of the one that gives."""
    others = tuple(each for each in requirements if each is not gives)
    # Beyond what is asked there is nothing to win: what is met counts as met by nothing.
    return Aim(others, lambda trial: trial.missed(gives))
