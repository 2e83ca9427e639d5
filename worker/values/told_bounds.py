"""Bounds that a refusal tells, on the 0.0001 that a request's lengths are rounded to.

A bound rounded to the nearest of these may lie beyond itself: "at most 3.4708 mm" of a room of 3.47075 mm is refused
when it is sent. So the greatest is rounded down and the least up, less the slack that rules are checked with.
"""

from __future__ import annotations

import math

STEPS = 10_000
"""In one millimetre, as `rounded_millimetres` has them."""
SLACK = 1e-9
"""How far beyond its bound a rule takes a value: what arithmetic loses on the way."""


def at_most(value: float) -> float:
    """The greatest value of a request that is no greater than this."""
    return math.floor((value + SLACK) * STEPS) / STEPS


def at_least(value: float) -> float:
    """The least value of a request that is no less than this."""
    return math.ceil((value - SLACK) * STEPS) / STEPS
