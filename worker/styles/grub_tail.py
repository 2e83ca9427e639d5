"""The tails of a grub, which take up what the body leaves of the length.

A tail keeps one shape, whatever its length, so it reaches the further behind the body the longer it is, and without a
jump: the length that reaches as far as is asked can be looked for.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from scipy.optimize import brentq

from worker.styles.style import Params
from worker.styles.tail_blades import Blade
from worker.styles.tail_curl import line_of
from worker.styles.tail_measures import Tail
from worker.styles.tails import reach_of
from worker.styles.worm_parameters import number

STEM = 0.24
"""Share of a tail that is straight before its curl: one shape, whatever the length (judgement)."""
LONGEST_TAIL = 3.0
"""Greatest length of a tail over the body's (judgement)."""
WITHIN = 1e-4
"""How close to the length asked for the tail is made to end, mm."""


def tail_of(params: Params, length: float) -> Tail:
    """The tails, `length` mm long each."""
    names = ("width", "wrist", "root_thickness", "tip_thickness")
    blade = Blade(length, *(number(params, f"tail_{name}") for name in names))
    count = int(params["tail_count"])
    turn, inner = number(params, "tail_curl"), number(params, "tail_curl_radius")
    return Tail("curl", blade, turn, inner, count, count == 1, (STEM,))


def _curls(tail: Tail) -> bool:
    return line_of(tail.blade, tail.degrees, tail.inner, tail.stems) is not None and tail.spread is not None


@lru_cache(maxsize=64)  # asked before a bait is taken and to make it
def shortest(tail: Tail, most: float) -> float | None:
    """The least length of such a tail that its curl goes into, to 0.05 mm; None where `most` mm are too few."""
    low, high = 0.0, most
    if not _curls(of_length(tail, high)):
        return None
    while high - low > 0.05:
        middle = (low + high) / 2
        low, high = (low, middle) if _curls(of_length(tail, middle)) else (middle, high)
    return high


@lru_cache(maxsize=64)
def _reaching(tail: Tail, reach: float, least: float, most: float) -> float:
    """Length of the tail of that shape that ends `reach` mm behind the body; it does between the two lengths given."""

    def missing(length: float) -> float:
        return reach_of(of_length(tail, length)) - reach

    return float(brentq(missing, least, most, xtol=WITHIN))


def of_length(tail: Tail, length: float) -> Tail:
    """The same tail, so long."""
    return replace(tail, blade=replace(tail.blade, length=length))


def longest(params: Params) -> float:
    """The longest tail that is in proportion with its body, mm."""
    return LONGEST_TAIL * number(params, "body_length")


def tail_length(params: Params) -> float:
    """Length of the tail along its curl, mm."""
    rest = number(params, "length") - number(params, "body_length")
    if params["length_is"] == "laid_straight":
        return rest
    tail, most = tail_of(params, 1.0), longest(params)
    return _reaching(tail, rest, shortest(tail, most) or most, most)
