"""One figure that is asked for in two ways: what one way says is not taken for the other's."""

from __future__ import annotations

from worker.fit import fit_request
from worker.fit.require import FigureAsked
from worker.fit.run import run
from worker.fit.trials import Trials


def test_a_front_along_a_figure_that_has_to_be_equal_besides() -> None:
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


def test_margins_are_those_of_the_requirement_that_is_asked() -> None:
    request = fit_request({"style": "beaded_worm", "free": {"bead_count": {"minimum": 14, "maximum": 20}}})
    trials = Trials(request)
    trials.most = 1
    trial = trials.trial((18,))
    weak, strong = (FigureAsked("trunk_pull_n", {"at_least": pull}) for pull in (1, 1000))
    assert trial.missed(weak) == 0
    assert trial.missed(strong) > 0.9
