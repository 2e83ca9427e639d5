"""What one step more or less of each free value does to the best bait."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from worker.fit.axes import Axis
from worker.fit.figures import FIGURES
from worker.fit.goals import NEAREST
from worker.fit.telling import figures_of
from worker.fit.trials import Aim, Spent, Trial, Trials
from worker.values.parameter import Value

MOST_CHOICES = 6
"""Other choices of one axis that are looked at."""


def neighbours(trials: Trials, best: Trial, aim: Aim, names: Sequence[str]) -> list[dict[str, Any]]:
    """Each with its value, what changes, and what it would break; as far as baits may still be worked out."""
    told = []
    try:
        for place, axis in enumerate(trials.axes):
            for value in _steps(axis, best.values[place]):
                values = tuple(value if k == place else at for k, at in enumerate(best.values))
                told.append(_told(trials, best, trials.trial(values), aim, names, axis, value))
    except Spent:
        pass
    return told


def _steps(axis: Axis, present: Value) -> Iterator[Value]:
    """One step down and one up, at the step asked for or the one that makes sense at the bench; or other choices."""
    if axis.choices:
        yield from [choice for choice in axis.choices if choice != present][:MOST_CHOICES]
        return
    step = axis.step or min(axis.parameter.step, (axis.maximum - axis.minimum) / 2)
    for way in (-1, 1):
        value = axis.at(float(present) + way * step)
        # At the edge of the range there is no whole step left.
        if value != present:
            yield value


def _told(
    trials: Trials, best: Trial, other: Trial, aim: Aim, names: Sequence[str], axis: Axis, value: Value
) -> dict[str, Any]:
    unit = f" {axis.parameter.unit}" if axis.parameter.unit else ""
    words = f"{axis.parameter.title} {value if isinstance(value, str) else f'{value:g}'}{unit}"
    told: dict[str, Any] = {"free": axis.name, "value": value}
    if not other.stands:
        return {**told, "stands": False, "text": f"{words}: no such bait. {other.faults[0].detail}"}
    breaks = [each.name for each in aim.requirements if other.missed(each) > 0 and best.missed(each) == 0]
    mends = [each.name for each in aim.requirements if other.missed(each) == 0 and best.missed(each) > 0]
    return {
        **told,
        "stands": True,
        "figures": figures_of(other, names),
        "breaks": breaks,
        "mends": mends,
        "better": aim.score(other) < aim.score(best),
        "text": f"{words}: {_change(trials, best, other, names)}{_broken(breaks)}.",
    }


def _change(trials: Trials, best: Trial, other: Trial, names: Sequence[str]) -> str:
    """The goal's figure and the weakest joint's, after and before."""
    ((way, goal),) = trials.request.normal["goal"].items()
    shown = dict.fromkeys([name for name in (goal if way != NEAREST else None,) if name] + ["pull_over_limit"])
    if len(shown) == 1:
        shown |= dict.fromkeys(names[:1])
    parts = []
    for name in shown:
        after, before = other.figure(name), best.figure(name)
        was = f"{before:.4g}" if isinstance(before, (int, float)) else before or "unknown"
        parts.append(f"{FIGURES[name].say(after)} (was {was})")
    return ", ".join(parts)


def _broken(breaks: Sequence[str]) -> str:
    return f"; it misses {', '.join(breaks)}" if breaks else ""
