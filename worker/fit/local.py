"""From a bait to the best near it: small steps by a linear picture of every margin, whole numbers as whole numbers.

Sequential linear programming within a trust region (Griffith and Stewart, Management Science 7, 1961; the merit is
the exact penalty of Zhang, Kim and Lasdon, Management Science 31, 1985).
"""

from __future__ import annotations

import math

from worker.fit.linear_picture import WEIGHT, LinearPicture
from worker.fit.space import Point
from worker.fit.trials import Aim, Trial, Trials

REACH = 0.25
"""The first step reaches over this share of every range."""
FINEST, ROUGH = 2e-5, 2e-3
"""No steps are taken below this share of a range; and none of a climb that only shows how good a place is."""
NO_SCORE = 100.0
"""What counts of a bait that has no figure of the goal's kind, over the goal."""
SLOW, ROUGHLY_SLOW, PATIENCE = 1e-6, 1e-3, 2
"""Two steps running that gain less than this, over the goal, are the last."""
ENOUGH = 60
"""Steps from one bait at the most."""


class Climb:
    """Steps from one bait on, for one aim."""

    def __init__(self, trials: Trials, aim: Aim) -> None:
        self.trials, self.space, self.aim = trials, trials.space, aim

    def climb(
        self,
        start: Trial,
        reach: float = REACH,
        most: int = ENOUGH,
        *,
        roughly: bool = False,
        kept: frozenset[int] = frozenset(),
    ) -> Trial:
        """The best that steps from `start` lead to; axes at the places `kept` do not move. Raises Spent."""
        here, taken = start, 0
        picture = LinearPicture.around(self.trials, self.aim, start)
        size = picture.size
        whole, slow = True, 0
        finest, little = (ROUGH, ROUGHLY_SLOW) if roughly else (FINEST, SLOW)
        while reach > finest and taken < most and slow < PATIENCE:
            taken += 1
            point, view = self.space.point(here.values), picture.view(here)
            slopes = picture.slopes(point, view, reach, whole, kept)
            step = picture.step(point, view, slopes, reach)
            there, gained = self._tried(here, step, size)
            if there is not None and there.stands and gained <= 0:
                # The picture is straight where a requirement curves: by what it was wrong there, it is put right.
                short = picture.short(point, view, slopes, there)
                again = picture.step(point, view, slopes, reach, short) if any(short) else None
                corrected, better = self._tried(here, again, size)
                if better > 0:
                    there, gained, step = corrected, better, again
            if there is not None and there.values != here.values and gained > 0:
                here, reach = there, min(reach * 2, 1.0)
                slow = slow + 1 if gained < little else 0
            elif whole and step is not None and self._whole_moved(point, step):
                # A whole number is a long step, of which the picture may be false: it is left, and the rest goes on.
                whole = False
            else:
                reach /= 4
        return here

    def _tried(self, here: Trial, step: Point | None, size: float) -> tuple[Trial | None, float]:
        """The bait of a step, and what it gains. Raises Spent."""
        if step is None:
            return None, -math.inf
        there = self.trials.trial(self.space.values(step))
        return there, self._merit(here, size) - self._merit(there, size)

    def _whole_moved(self, point: Point, step: Point) -> bool:
        moved = zip(self.space.axes, point, step, strict=True)
        return any(axis.counted and abs(there - here) > 0.5 for axis, here, there in moved)

    def _merit(self, trial: Trial, size: float) -> float:
        if not trial.stands:
            return math.inf
        margins = [margin for each in self.aim.requirements for margin in trial.margins(each)]
        missed = sum(max(margin.aim - margin.value, 0.0) for margin in margins)
        score = self.aim.score(trial)
        return float(f"{WEIGHT * missed + (NO_SCORE if math.isinf(score) else score / size):.9g}")
