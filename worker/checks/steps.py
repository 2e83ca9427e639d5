"""The fewest steps of a parameter after which an aim is met, in few evaluations: each of them costs an outline."""

from __future__ import annotations

import math
from collections.abc import Callable

UNKNOWN = -math.inf
"""The margin of what misses an aim by it cannot be said how much, as a bait in several pieces does its pull."""


def fewest_steps(margin: Callable[[int], float | None], present: float, most: int) -> int | None:
    """The least number of steps from 1 to `most` whose margin is 0 or more; None where there is none.

    `margin` tells by how much an aim is met (below 0: missed), None where so many steps are impossible; from there on
    more are impossible too. `present` is the margin of none. The margin is taken to rise: a line through the last two
    margins says where to look next; where it does not help, the way doubles until it is enough and is halved then.
    What comes out met the aim, and one step less did not.
    """
    short, enough, bounded, found = 0, most + 1, False, False
    before, last = (0, UNKNOWN), (0, present)
    stride, unhalved = 1, 0
    while enough - short > 1:
        guess, width, searching = _crossing(before, last), enough - short, not bounded
        if searching:
            least = stride if guess is None else max(1, stride // 2)
            step = min(max(short + least, math.ceil(min(guess or 0.0, most))), most)
            stride *= 2
        elif guess is None or unhalved >= 2 or (guess > enough - 1 and not found):
            step, unhalved = (short + enough) // 2, 0
        else:
            step = min(max(short + 1, math.ceil(guess)), enough - 1)
        value = margin(step)
        if value is None and not found:
            enough, bounded = step, True
        elif value is not None and value >= 0:
            enough, bounded, found = step, True, True
        else:
            short = step
        if value is not None:
            before, last = last, (step, value)
        unhalved = 0 if searching or 2 * (enough - short) <= width else unhalved + 1
    return enough if found else None


def _crossing(before: tuple[int, float], last: tuple[int, float]) -> float | None:
    """Where the line through two margins crosses zero; None where it says nothing."""
    run, rise = last[0] - before[0], last[1] - before[1]
    if run == 0 or not math.isfinite(rise) or rise / run <= 0:
        return None
    return last[0] - last[1] * run / rise
