"""Bracketed root finding on whole arrays, one problem an element."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def falling_crossing(function: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Where a falling `function` crosses zero; `low` where it is below already, `high` where it still is not."""
    # Where an end is the answer both ends are set to it, and the search has nothing to do.
    settled_low, settled_high = function(low) < 0, function(high) > 0
    begin, end = np.where(settled_high, high, low), np.where(settled_low, low, high)
    return crossing(function, begin, end)


def crossing(function: Callable[[Array], Array], low: Array, high: Array, within: float = 1e-12) -> Array:
    """Where `function` changes its sign between `low` and `high`, element by element, to `within` (absolute).

    Chandrupatla, Advances in Engineering Software 28 (1997) 145-149: inverse quadratic steps where they are safe,
    halving elsewhere. SciPy has it too (`optimize.elementwise`), at five times the cost on arrays as short as ours.
    """
    one, two = high.copy(), low.copy()
    value_one, value_two = function(one), function(two)
    three, value_three = one.copy(), value_one.copy()
    share = np.full_like(one, 0.5)
    for _ in range(80):
        new = one + share * (two - one)
        value = function(new)
        same = (value >= 0) == (value_one >= 0)
        three, value_three = np.where(same, one, two), np.where(same, value_one, value_two)
        two, value_two = np.where(same, two, one), np.where(same, value_two, value_one)
        one, value_one = new, value
        nearer = np.abs(value_two) < np.abs(value_one)
        best = np.where(nearer, two, one)
        width = np.abs(two - one)
        if bool(np.all((width <= within) | (value_one == 0))):
            break
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            xi = (one - two) / (three - two)
            phi = (value_one - value_two) / (value_three - value_two)
            step = value_one / (value_two - value_one) * value_three / (value_two - value_three) + (three - one) / (
                two - one
            ) * value_one / (value_three - value_one) * value_two / (value_three - value_two)
            safe = (phi * phi < xi) & ((1 - phi) * (1 - phi) < 1 - xi) & np.isfinite(step)
            least = 0.5 * within / np.maximum(width, within)
        share = np.clip(np.where(safe, step, 0.5), least, 1 - least)
    return np.where(value_one == 0, one, best)
