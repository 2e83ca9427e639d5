"""Bracketed root finding on arrays, against roots known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from worker.strands.roots import Array, falling_crossing


def test_many_at_once() -> None:
    """cos x = c between 0 and pi."""
    wanted = np.linspace(-0.999, 0.999, 401)
    found = falling_crossing(lambda x: np.cos(x) - wanted, np.zeros(401), np.full(401, np.pi))
    assert np.abs(found - np.arccos(wanted)).max() < 1e-11


def test_where_an_end_is_the_answer() -> None:
    def line(x: Array) -> Array:
        return np.array([-1.0, 3.0, 0.0, 1.0]) - x

    found = falling_crossing(line, np.zeros(4), np.full(4, 2.0))
    assert found.tolist() == pytest.approx([0.0, 2.0, 0.0, 1.0], abs=1e-12)


def test_nothing_to_do() -> None:
    assert falling_crossing(lambda x: -x, np.zeros(0), np.zeros(0)).shape == (0,)


def test_an_interval_without_width() -> None:
    assert falling_crossing(lambda x: 1 - x, np.ones(2), np.ones(2)).tolist() == [1.0, 1.0]


def test_a_level_stretch_at_zero_is_a_root_anywhere_on_it() -> None:
    found = falling_crossing(lambda x: np.maximum(1 - x, 0) - np.maximum(x - 2, 0), np.zeros(1), np.full(1, 3.0))
    assert 1 - 1e-9 <= found[0] <= 2 + 1e-9


def test_a_step_and_a_cliff() -> None:
    """The ball's path has a slope of a million beyond a hump."""
    found = falling_crossing(lambda x: np.where(x < 0.3, 1.0, -1.0), np.zeros(1), np.ones(1))
    assert found[0] == pytest.approx(0.3, abs=1e-11)
    cliff = falling_crossing(lambda x: 1 - 1e6 * np.maximum(x - 0.7, 0), np.zeros(1), np.ones(1))
    assert cliff[0] == pytest.approx(0.7 + 1e-6, abs=1e-11)


@settings(max_examples=100, derandomize=True, database=None, deadline=None)
@given(st.lists(st.tuples(st.floats(0.01, 0.99), st.integers(1, 9), st.floats(0.01, 100)), min_size=1, max_size=8))
def test_odd_powers_flat_or_steep_at_their_root(problems: list[tuple[float, int, float]]) -> None:
    root, power, scale = (np.array(column, dtype=float) for column in zip(*problems, strict=True))
    odd = 2 * (power // 2) + 1

    def function(x: Array) -> Array:
        return -scale * np.sign(x - root) * np.abs(x - root) ** odd

    found = falling_crossing(function, np.zeros(len(root)), np.ones(len(root)))
    # A root of high order is only known where its value is told apart from zero.
    assert (np.abs(function(found)) < 1e-11 * np.maximum(scale, 1)).all()
    assert (np.abs(found - root)[odd == 1] < 1e-11).all()
