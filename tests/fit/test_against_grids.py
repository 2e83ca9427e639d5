"""No brute-force grid beats a search by more than 1 %."""

from __future__ import annotations

import math

import pytest

from tests.fit.drawn_fits import drawn
from tests.fit.fitted import best_on_a_grid, score_of_answer
from worker.fit import fit_request
from worker.fit.run import run

LOOKS = 25
"""Values of each fine axis on a grid; of whole numbers all."""
WITHIN = 0.01
ALMOST = 1e-3
"""A distance this near to none is as good as none, of a goal that is a distance: shares of ranges."""


def _holds(number: int) -> None:
    body = drawn(number)
    request = fit_request(body)
    document = run(request).document
    grid, aim = best_on_a_grid(request, LOOKS)
    if grid is None:
        return
    assert document["best"] is not None, body
    missed, score = score_of_answer(request, document)
    best_missed, _, best_score = aim.order(grid)
    if best_missed > 0:
        assert missed <= best_missed * (1 + WITHIN) + 1e-6, body
        return
    assert missed == 0, body
    assert not math.isinf(score) or math.isinf(best_score), body
    spare = WITHIN * abs(best_score) if not math.isinf(best_score) else 0.0
    assert score <= best_score + max(spare, ALMOST if body["goal"] == "nearest" else 0.0), body


@pytest.mark.parametrize("number", [3, 11, 17, 29, 1113])
def test_a_handful(number: int) -> None:
    _holds(number)


@pytest.mark.proof
@pytest.mark.parametrize("number", range(1000, 1200))
def test_two_hundred_of_one_goal(number: int) -> None:
    _holds(number)
