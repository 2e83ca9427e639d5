"""Bracketed root finding on whole arrays, one problem an element."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def falling_crossing(function: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Where a falling `function` crosses zero; `low` where it is below already, `high` where it still is not."""
    value_low, value_high = function(low), function(high)
    # Where an end is the answer both ends are set to it, and the search has nothing to do.
    settled_low, settled_high = value_low < 0, value_high > 0
    return crossing(
        function,
        np.where(settled_high, high, low),
        np.where(settled_low, low, high),
        np.where(settled_high, value_high, value_low),
        np.where(settled_low, value_low, value_high),
    )


def crossing(
    function: Callable[[Array], Array],
    low: Array,
    high: Array,
    value_low: Array,
    value_high: Array,
    within: float = 1e-12,
) -> Array:
    """Where `function` changes its sign between `low` and `high`, element by element, to `within` (absolute).

    `value_low` and `value_high` are its values there: a value costs more than a step of the search.

    Chandrupatla, Advances in Engineering Software 28 (1997) 145-149: inverse quadratic steps where they are safe,
    halving elsewhere. SciPy has it too (`optimize.elementwise`), at five times the cost on arrays as short as ours.
    """
    one, two, value_one, value_two = high, low, value_high, value_low
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
        share = np.minimum(np.maximum(np.where(safe, step, 0.5), least), 1 - least)
    return np.where(value_one == 0, one, best)
