"""A fit: search, neighbours, what would have to give, the front; on one screen."""

from __future__ import annotations

from typing import Any

from worker.estimate import estimate
from worker.fit.aims import aim_of
from worker.fit.answer import FitAnswer, nothing_stands
from worker.fit.effort import evaluations_of
from worker.fit.front import Front
from worker.fit.giving import what_gives
from worker.fit.goals import words_of
from worker.fit.neighbours import neighbours
from worker.fit.request import FitRequest
from worker.fit.require import requirements_of
from worker.fit.rules import told_rules
from worker.fit.search import search
from worker.fit.telling import asked_figures, figures_of, params_in_words, told_requirements
from worker.fit.tradeoff import tradeoff_svg
from worker.fit.trials import Aim, Trial, Trials
from worker.request.identity import canonical
from worker.values.cautions import EVERY_BAIT

SEARCH_SHARE, FRONT_SHARE = 0.75, 0.3
"""Of all baits that may be worked out: for the search (less the front's, where one is asked for), and for the front."""


def run(request: FitRequest) -> FitAnswer:
    """The answer to a fit: the same for the same request. Bounded by `effort.budget`."""
    trials, requirements = Trials(request), requirements_of(request.normal)
    most, wants_front = evaluations_of(request.normal), "front" in request.normal
    aim = aim_of(trials, requirements)
    best = search(trials, aim, int(most * (SEARCH_SHARE - FRONT_SHARE * wants_front)))
    if best is None:
        return nothing_stands(trials)
    front = Front(trials, requirements) if wants_front else None
    if front is not None:
        front.work_out(int(most * FRONT_SHARE))
        best = trials.best(aim) or best
    missed = aim.missed(best) > 0
    gives = what_gives(trials, best, requirements, (most - trials.made) // 2) if missed else []
    if missed:
        best = trials.best(aim) or best
        missed = aim.missed(best) > 0
    shown = [] if front is None else front.shown(best)
    trials.most = most
    around = neighbours(trials, best, aim, asked_figures(trials))
    document = {
        "outcome": "nearest" if missed else "met",
        "goal": {**request.normal["goal"], "text": words_of(request.normal["goal"])},
        "best": _best(trials, best, aim),
        "requirements": told_requirements(best, requirements, around),
        "gives": gives,
        "neighbours": around,
        "front": None if front is None else front.describe(shown),
        "rules": told_rules(request.normal),
        "evaluations": {"made": trials.made, "most": most},
        "cautions": list(EVERY_BAIT),
    }
    files = {} if front is None else {"tradeoff.svg": tradeoff_svg(front, shown, best)}
    return FitAnswer(document, {"fit.json": canonical(document), **files})


def _best(trials: Trials, best: Trial, aim: Aim) -> dict[str, Any]:
    """The bait, as a request that can be ordered as it is, with the estimate that it is judged by."""
    request = trials.bait(best.values)
    estimated = estimate(request)
    return {
        "bait": request.id,
        "request": request.normal,
        "free": dict(trials.named(best.values)),
        "text": f"{params_in_words(trials, best)}.",
        "missed": aim.missed(best),
        "figures": figures_of(best, asked_figures(trials)),
        "metrics": estimated["metrics"],
        "checks": estimated["checks"],
    }
