"""One search: a look through the whole room, then steps from the best, then whole numbers one by one."""

from __future__ import annotations

from collections.abc import Iterator

from worker.fit.local import Climb
from worker.fit.space import Space
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
ROUGH_STEPS = 12
ROUNDS = 6
FAR = 3
"""So many more or fewer of what is counted are looked at."""


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
        # Roughly first, for the last digit of a place that is not the best is of no use; then the best with care.
        for some in (chosen[:FIRST_CLIMBS], chosen[FIRST_CLIMBS:]):
            for start in some:
                climb.climb(start, most=ROUGH_STEPS, roughly=True)
            _one_by_one(trials, aim)
            _with_care(trials, aim, climb)
    except Spent:
        pass
    return trials.best(aim)


def _with_care(trials: Trials, aim: Aim, climb: Climb) -> None:
    """Steps from the best to its last digit. Raises Spent."""
    best = trials.best(aim)
    if best is not None:
        climb.climb(best)


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
    """From the best: each whole number a few up and down, each choice another, and steps from there. Raises Spent.

    What is best of one number of beads is nowhere near the best of another, and the goal falls between them: each
    number is taken by itself, from the best that is known of it, and kept while the rest makes up for it.
    """
    for _ in range(ROUNDS):
        best = trials.best(aim)
        if best is None:
            return
        for place, axis in enumerate(trials.space.axes):
            for other in _others(trials.space, place, trials.space.point(best.values)[place]):
                start = _best_with(trials, aim, best, place, other)
                if start.stands:
                    held = frozenset([place]) if axis.counted else frozenset()
                    Climb(trials, aim).climb(start, reach=0.1, most=ROUGH_STEPS, roughly=True, kept=held)
        if trials.best(aim) is best:
            return


def _others(space: Space, place: int, at: float) -> Iterator[float]:
    """Coordinates on one axis to be looked at beside `at`, the nearest first; none on a fine one."""
    if not space.whole[place]:
        return
    end = int(space.ends[place])
    if space.named[place]:
        yield from (float(other) for other in range(end + 1) if other != at)
        return
    far = FAR if space.axes[place].counted else 1
    for away in range(1, far + 1):
        yield from (other for other in (at - away, at + away) if 0 <= other <= end)


def _best_with(trials: Trials, aim: Aim, best: Trial, place: int, other: float) -> Trial:
    """The best that is known at one coordinate, `best` moved there among them. Raises Spent."""
    space = trials.space
    moved = tuple(other if k == place else at for k, at in enumerate(space.point(best.values)))
    there = trials.trial(space.values(moved))
    same = [trial for trial in trials.all if trial.stands and trial.values[place] == there.values[place]]
    return min(same, key=aim.order, default=there)
