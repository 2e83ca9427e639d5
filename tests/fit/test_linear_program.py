"""Small linear programs against textbooks and SciPy's `milp`, and the same answer whatever was solved before."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from worker.fit.linear_program import LinearProgram


def program(
    cost: list[float], rows: list[list[float]], least: list[float], high: float = np.inf, whole: bool = False
) -> LinearProgram:
    """Of variables from 0 to `high`."""
    count = len(cost)
    every = np.array(rows, dtype=float).reshape(-1, count)
    zero = np.zeros(count)
    return LinearProgram(np.array(cost), every, np.array(least), zero, np.full(count, high), zero + whole)


def test_two_products_in_three_plants() -> None:
    """Wyndor Glass (Hillier and Lieberman, Introduction to Operations Research, section 3.1): (2, 6) earns 36."""
    found = program([-3, -5], [[-1, 0], [0, -2], [-3, -2]], [-4, -12, -18]).solved()
    assert found == pytest.approx([2, 6])


@pytest.mark.parametrize(("whole", "best"), [(False, [3.75, 2.25]), (True, [5, 0])])
def test_tables_and_chairs(whole: bool, best: list[float]) -> None:
    """Telfa (Winston, Operations Research, section 9.3): 41.25 in shares, 40 in whole pieces, far from rounding."""
    found = program([-8, -5], [[-1, -1], [-9, -5]], [-6, -45], whole=whole).solved()
    assert found == pytest.approx(best)


def test_nothing_stands_in_the_way() -> None:
    """Without rows each variable goes to the end that costs less."""
    assert program([1, -1], [], [], high=2.0).solved() == pytest.approx([0, 2])


def test_what_cannot_be() -> None:
    """x + y >= 5 of two that reach to 2."""
    assert program([1, 1], [[1, 1]], [5], high=2.0).solved() is None


def drawn(number: int) -> LinearProgram:
    """As a search asks: moves within reach, some of them whole, and what each of several margins misses."""
    pick = np.random.default_rng(number)
    moves, sides, counted = 5, int(pick.integers(0, 14)), number % 4
    cost = np.concatenate([pick.normal(size=moves), np.full(sides, 1000.0)])
    rows = np.hstack([pick.normal(size=(sides, moves)), np.eye(sides)])
    low, high = -0.25 * pick.random(moves), 0.25 * pick.random(moves)
    low[:counted], high[:counted] = -3.0, 3.0
    whole = np.concatenate([np.arange(moves) < counted, np.zeros(sides)]).astype(float)
    least = 0.1 * pick.normal(size=sides)
    return LinearProgram(
        cost,
        rows,
        least,
        np.concatenate([low, np.zeros(sides)]),
        np.concatenate([high, np.full(sides, np.inf)]),
        whole,
    )


@pytest.mark.parametrize("number", range(40))
def test_as_good_as_scipys(number: int) -> None:
    asked = drawn(number)
    found = asked.solved()
    rows = LinearConstraint(asked.rows, asked.least, np.inf) if len(asked.least) else ()
    other = milp(asked.cost, constraints=rows, integrality=asked.whole, bounds=Bounds(asked.low, asked.high))
    assert found is not None and other.fun is not None
    assert (asked.rows @ found >= asked.least - 1e-6).all()
    whole = found[asked.whole > 0]
    assert whole == pytest.approx(np.round(whole), abs=1e-6)
    # A margin missed costs 1000, and each solver lets it be missed by 1e-6 or so.
    assert asked.cost @ found <= other.fun + 2e-3


def test_the_same_whatever_was_solved_before() -> None:
    asked = [drawn(number) for number in range(24)]
    forward = [each.solved() for each in asked]
    backward = [each.solved() for each in reversed(asked)][::-1]
    assert all((one == other).all() for one, other in zip(forward, backward, strict=True))


def test_nothing_is_printed() -> None:
    code = "from tests.fit.test_linear_program import drawn; drawn(1).solved()"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout == ""
