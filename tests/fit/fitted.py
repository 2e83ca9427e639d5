"""Fits for the tests: run one, and look through a room by brute force."""

from __future__ import annotations

import itertools
import math
from typing import Any

from worker.fit import fit_request
from worker.fit.aims import aim_of
from worker.fit.request import FitRequest
from worker.fit.require import requirements_of
from worker.fit.run import run
from worker.fit.space import Space
from worker.fit.trials import Aim, Trial, Trials


def fitted(**body: Any) -> dict[str, Any]:
    """The document of a fit."""
    return run(fit_request(body)).document


def best_on_a_grid(request: FitRequest, looks: int) -> tuple[Trial | None, Aim]:
    """The best of `looks` even values of each fine axis and of every value of each list; and what it is best for."""
    trials = Trials(request)
    trials.most = 10**6
    aim = aim_of(trials, requirements_of(request.normal))
    space = Space(request.axes)
    every = [
        [float(k) for k in range(int(end) + 1)] if whole else [end * k / (looks - 1) for k in range(looks)]
        for end, whole in zip(space.ends, space.whole, strict=True)
    ]
    for point in itertools.product(*every):
        trials.trial(space.values(tuple(point)))
    return trials.best(aim), aim


def score_of_answer(request: FitRequest, document: dict[str, Any]) -> tuple[float, float]:
    """What the best bait of an answer misses, and its score for the fit's goal (the less, the better)."""
    trials = Trials(request)
    trials.most = 1
    trial = trials.trial(tuple(document["best"]["free"][axis.name] for axis in request.axes))
    aim = aim_of(trials, requirements_of(request.normal))
    missed, _, score = aim.order(trial)
    return missed, math.inf if missed > 0 else score
