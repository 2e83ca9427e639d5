"""A first look through the whole room: every bait where there are few, else an even spread that closes in on the best.

The spread is a Latin hypercube (McKay, Beckman and Conover, Technometrics 21, 1979); it closes in by differential
evolution (Storn and Price, J. Global Optimization 11, 1997), both SciPy's, from a fixed seed: the same every time.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
from scipy.optimize import OptimizeResult, differential_evolution
from scipy.stats import qmc

from worker.fit.space import Point
from worker.fit.trials import Aim, Spent, Trials

SEED = 20
"""Any number does; another one would be another engine."""
A_GENERATION = 6
"""Baits in a generation for every axis (judgement)."""
LEAST_GENERATION = 12
PATIENCE = 6
"""Generations in which something better has to be found, or the rest is left to steps."""
BETTER = 1e-4
"""By how much, of a goal near 1."""


def every_bait(trials: Trials) -> None:
    """All of them, where no axis is fine. Raises Spent."""
    for values in itertools.product(*trials.space.lists):
        trials.trial(values)


def spread(trials: Trials, aim: Aim) -> None:
    """Baits all over the room, ever more where they are better; ends where as many are worked out as may be."""
    space = trials.space
    axes = len(space.axes)
    count = max(A_GENERATION * axes, LEAST_GENERATION)
    even = qmc.LatinHypercube(axes, rng=np.random.default_rng(SEED)).random(count)
    wide = np.array([end + (1.0 if whole else 0.0) for end, whole in zip(space.ends, space.whole, strict=True)])
    first = even * wide - np.array([0.5 if whole else 0.0 for whole in space.whole])
    first[0] = space.point(tuple(trials.request.normal["start"].values()))
    seen: list[tuple[float, int]] = []

    def merit(place: np.ndarray) -> float:
        return _merit(trials, aim, tuple(place.tolist()))

    def settled(intermediate_result: OptimizeResult) -> bool:
        """Whether the last generations found nothing better, or made no new bait."""
        seen.append((float(intermediate_result.fun), trials.made))
        if len(seen) <= PATIENCE:
            return False
        before = seen[-1 - PATIENCE]
        return before[0] - seen[-1][0] < BETTER or before[1] == trials.made

    try:
        differential_evolution(
            merit,
            [(0.0, max(end, 1e-9)) for end in space.ends],
            maxiter=10_000,
            init=np.clip(first, 0.0, np.array(space.ends)),
            polish=False,
            tol=0.0,
            atol=0.0,
            rng=np.random.default_rng(SEED),
            integrality=list(space.whole),
            callback=settled,
        )
    except Spent:
        return


def _merit(trials: Trials, aim: Aim, point: Point) -> float:
    """One number in the order of `Aim.order`: under 1 what meets all, to 2 what misses something, 3 what cannot be."""
    trial = trials.trial(trials.space.values(point))
    missed, _, score = aim.order(trial)
    if math.isinf(missed):
        return 3.0
    if missed > 0:
        return 1.0 + missed / (1.0 + missed)
    return 0.5 if math.isinf(score) else 0.5 * (score / (1.0 + abs(score)) + 1.0) * 0.98
