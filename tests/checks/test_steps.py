"""The search for a remedy: it finds the nearest value that mends, in few evaluations."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from worker.checks.steps import UNKNOWN, fewest_steps


@given(
    most=st.integers(0, 200),
    root=st.integers(1, 220),
    power=st.sampled_from([0.3, 0.5, 1.0, 2.0, 4.0]),
    in_pieces_below=st.integers(0, 220),
    impossible_from=st.integers(1, 400),
)
def test_the_first_step_that_meets_a_rising_margin_is_found(
    most: int, root: int, power: float, in_pieces_below: int, impossible_from: int
) -> None:
    asked: list[int] = []

    def margin(steps: int) -> float | None:
        asked.append(steps)
        if steps >= impossible_from:
            return None
        if steps < min(in_pieces_below, root):
            return UNKNOWN
        return math.pow(steps, power) - math.pow(root - 0.25, power)

    present = margin(0)
    assert present is not None
    found = fewest_steps(margin, present, most)
    assert found == (root if root <= most and root < impossible_from else None)
    assert all(1 <= steps <= most for steps in asked[1:])
    assert len(asked) == len(set(asked)), "no outline is worked out twice"
    assert len(asked) <= 3 * math.log2(most + 2) + 4


def test_a_straight_margin_takes_the_first_step_the_crossing_and_the_step_before_it() -> None:
    asked: list[int] = []

    def margin(steps: int) -> float:
        asked.append(steps)
        return steps - 96.5

    assert fewest_steps(margin, -96.5, 180) == 97
    assert asked == [1, 97, 96]


def test_hopeless_is_told_by_the_furthest_step() -> None:
    asked: list[int] = []

    def margin(steps: int) -> float:
        asked.append(steps)
        return steps - 1000.0

    assert fewest_steps(margin, -1000.0, 180) is None
    assert asked == [1, 180]
