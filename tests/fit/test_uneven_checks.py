"""Checks that have more to say of some baits of a fit than of others: no step is judged by what cannot be compared."""

from __future__ import annotations

from worker.fit import fit_request
from worker.fit.run import run


def test_a_search_goes_on_where_a_check_says_more_of_one_bait_than_of_the_next() -> None:
    asked = {
        "style": "leech",
        "free": {"rib_depth": {}, "thickness": {}, "tail_width": {}},
        "require": {"pull_over_limit": {"equal": 5}},
        "goal": "least_mass",
        "front": {},
        "evaluations": 20,
    }
    answer = run(fit_request(asked)).document
    assert answer["outcome"] in ("met", "nearest")
