"""One search: a look through the whole room, then steps from the best, then whole numbers one by one."""

from __future__ import annotations

from worker.fit.local import Climb
from worker.fit.trials import Aim, Spent, Trial, Trials
from worker.fit.whole_room import every_bait, spread

SPREAD_SHARE = 0.5
"""Of what a search may work out, for the look through the whole room."""
CLIMBS = 12
"""Baits from which steps are taken, the best first, as far as baits may still be worked out."""
FIRST_CLIMBS = 4
"""Of these, before whole numbers are looked at one by one."""
APART = 0.08
"""So far apart, over their ranges, are two baits from which steps are taken."""
LATER_STEPS = 12
ROUNDS = 6


def search(trials: Trials, aim: Aim, most: int) -> Trial | None:
    """The best of what `most` more baits find; None where none of them stands."""
    space = trials.space
    begin, trials.most = trials.made, trials.made + most
    try:
        if space.size <= most:
            every_bait(trials)
            return trials.best(aim)
        trials.most = begin + int(SPREAD_SHARE * most)
        spread(trials, aim)
        trials.most = begin + most
        climb = Climb(trials, aim)
        chosen = starts(trials, aim)
        for start in chosen[:FIRST_CLIMBS]:
            climb.climb(start)
        _one_by_one(trials, aim)
        for start in chosen[FIRST_CLIMBS:]:
            climb.climb(start, most=LATER_STEPS)
        _one_by_one(trials, aim)
    except Spent:
        pass
    return trials.best(aim)


def starts(trials: Trials, aim: Aim, count: int = CLIMBS) -> list[Trial]:
    """The best of what is known, apart from one another."""
    chosen: list[Trial] = []
    standing = sorted((trial for trial in trials.all if trial.stands), key=aim.order)
    for trial in standing:
        if all(trials.distance(trial.values, other.values) > APART for other in chosen):
            chosen.append(trial)
            if len(chosen) == count:
                break
    return chosen


def _one_by_one(trials: Trials, aim: Aim) -> None:
    """From the best: each whole number one up and down, each choice another, and steps from there. Raises Spent."""
    space = trials.space
    for _ in range(ROUNDS):
        best = trials.best(aim)
        if best is None:
            return
        point = space.point(best.values)
        for place, (listed, end) in enumerate(zip(space.whole, space.ends, strict=True)):
            if not listed:
                continue
            others = range(int(end) + 1) if space.named[place] else (point[place] - 1, point[place] + 1)
            for other in others:
                if 0 <= other <= end and other != point[place]:
                    moved = tuple(float(other) if k == place else at for k, at in enumerate(point))
                    trial = trials.trial(space.values(moved))
                    if trial.stands:
                        # The number stays: where it misses something by itself, the first step would be the way back.
                        Climb(trials, aim).climb(trial, reach=0.1, most=12, kept=frozenset([place]))
        if trials.best(aim) is best:
            return
