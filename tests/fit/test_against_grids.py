"""No brute-force grid beats a search by more than 1 %."""

from __future__ import annotations

import math
from typing import Any

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


def _holds(body: dict[str, Any], coarse: dict[str, Any] | None = None) -> None:
    """A grid of the fit's own axes, or of those of a `coarse` one, finds nothing that is better by more."""
    request = fit_request(body)
    document = run(request).document
    grid, aim = best_on_a_grid(request if coarse is None else fit_request(coarse), LOOKS)
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
    assert score <= best_score + max(spare, ALMOST if body.get("goal") == "nearest" else 0.0), body


@pytest.mark.parametrize("number", [3, 11, 17, 29, 1054, 1113])
def test_a_handful(number: int) -> None:
    _holds(drawn(number))


@pytest.mark.proof
@pytest.mark.parametrize("number", range(1000, 1200))
def test_two_hundred_of_one_goal(number: int) -> None:
    _holds(drawn(number))


WORM = {"bead_count": {"minimum": 7, "maximum": 20}, "bead_diameter": {"minimum": 5, "maximum": 12, "step": 0.25}}
MAKERS: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "bass in weed": (
        {"fish": "bass", "cover": "weed", "depth": "6 ft", "hook": {"gape": 14, "shank": 38, "wire": 1.2}},
        WORM | {"joint_blend": {"step": 0.2}},
    ),
    "trout": ({"fish": "trout"}, WORM | {"joint_blend": {"step": 0.2}}),
    "sea bass": (
        {"fish": "sea_bass"},
        {"girth": {"step": 0.5}, "tail_end": {"step": 0.5}, "salt_wt_pct": {"maximum": 30, "step": 3}},
    ),
    "flounder over rock": (
        {"fish": "flounder", "cover": "rock"},
        {"width": {"step": 0.6}, "height": {"step": 0.6}, "rib_depth": {"step": 0.4}},
    ),
}
"""A maker's terms, and coarse steps of what the rules leave free: each count of beads has a best of its own."""


@pytest.mark.proof
@pytest.mark.parametrize("front", [False, True], ids=["", "and its front"])
@pytest.mark.parametrize("name", MAKERS)
def test_a_makers_terms(name: str, front: bool) -> None:
    maker, coarse = MAKERS[name]
    _holds({"maker": maker} | ({"front": True} if front else {}), {"maker": maker, "free": coarse})
