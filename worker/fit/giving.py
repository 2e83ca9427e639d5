"""Where nothing meets all: which requirement would have to give, and by how much, for all others to be met."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from worker.fit.aims import giving_way
from worker.fit.local import Climb
from worker.fit.require import Requirement
from worker.fit.search import starts
from worker.fit.telling import BINDS, params_in_words, told_requirement
from worker.fit.trials import Spent, Trial, Trials
from worker.values.parameter import six_digits

MOST_GIVING = 4
"""Requirements that are looked at: those that the nearest bait misses, and those that it only just meets."""


def what_gives(trials: Trials, nearest: Trial, requirements: Sequence[Requirement], most: int) -> list[dict[str, Any]]:
    """For each requirement that can give alone: the bait that then meets the rest, and how far the one is missed."""
    tight = [each for each in requirements if min(margin.value for margin in nearest.margins(each)) <= BINDS]
    asked = sorted(tight, key=nearest.missed, reverse=True)[:MOST_GIVING]
    told = []
    for gives in asked:
        trials.most = trials.made + most // len(asked)
        aim = giving_way(requirements, gives)
        try:
            for start in starts(trials, aim, 2):
                Climb(trials, aim).climb(start)
        except Spent:
            pass
        best = trials.best(aim)
        if best is not None and aim.missed(best) == 0:
            told.append(_told(trials, best, gives))
    return sorted(told, key=lambda each: each["missed"])


def _told(trials: Trials, best: Trial, gives: Requirement) -> dict[str, Any]:
    request = trials.bait(best.values)
    told = told_requirement(best, gives)
    return {
        "requirement": gives.name,
        "missed": six_digits(best.missed(gives)),
        "value": told["value"],
        "unit": told["unit"],
        "free": dict(trials.named(best.values)),
        "bait": request.id,
        "text": f"If this may give, all else is met by {params_in_words(trials, best)}. {told['text']}",
    }
