"""From a bait to the best near it: small steps by a linear picture of every margin, whole numbers as whole numbers.

Sequential linear programming within a trust region (Griffith and Stewart, Management Science 7, 1961; the merit is
the exact penalty of Zhang, Kim and Lasdon, Management Science 31, 1985). Each step is solved by SciPy's `milp` (HiGHS).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from worker.fit.space import Point
from worker.fit.trials import Aim, Trial, Trials

WEIGHT = 1000.0
"""A share missed of a requirement over a share lost of the goal."""
REACH = 0.25
"""The first step reaches over this share of every range."""
FINEST, ROUGH = 2e-5, 2e-3
"""No steps are taken below this share of a range; and none of a climb that only shows how good a place is."""
PROBE = 1e-3
"""How far, over its range, a value is moved to see what follows: well over what six digits blur."""
NO_SCORE = 100.0
"""What counts of a bait that has no figure of the goal's kind, over the goal."""
SLOW, ROUGHLY_SLOW, PATIENCE = 1e-6, 1e-3, 2
"""Two steps running that gain less than this, over the goal, are the last."""
ENOUGH = 60
"""Steps from one bait at the most."""


@dataclass(frozen=True)
class _View:
    """A trial's score and margins, for the linear picture. `score` is over `size`."""

    score: float
    margins: tuple[float, ...]


class Climb:
    """Steps from one bait on, for one aim."""

    def __init__(self, trials: Trials, aim: Aim) -> None:
        self.trials, self.space, self.aim = trials, trials.space, aim
        self.size = 1.0
        self.aims: tuple[float, ...] = ()

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
        score = self.aim.score(start)
        self.size = abs(score) if math.isfinite(score) and score else 1.0
        self.aims = tuple(margin.aim for each in self.aim.requirements for margin in start.margins(each))
        whole, slow = True, 0
        finest, little = (ROUGH, ROUGHLY_SLOW) if roughly else (FINEST, SLOW)
        while reach > finest and taken < most and slow < PATIENCE:
            taken += 1
            point, view = self.space.point(here.values), self._view(here)
            slopes = self._slopes(point, view, reach, whole, kept)
            step = self._step(point, view, slopes, reach)
            there, gained = self._tried(here, step)
            if there is not None and there.stands and gained <= 0:
                # The picture is straight where a requirement curves: by what it was wrong there, it is put right.
                short = self._short(point, view, slopes, there)
                again = self._step(point, view, slopes, reach, short) if any(short) else None
                corrected, better = self._tried(here, again)
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

    def _tried(self, here: Trial, step: Point | None) -> tuple[Trial | None, float]:
        """The bait of a step, and what it gains. Raises Spent."""
        if step is None:
            return None, -math.inf
        there = self.trials.trial(self.space.values(step))
        return there, self._merit(here) - self._merit(there)

    def _short(self, point: Point, view: _View, slopes: list[_View | None], there: Trial) -> tuple[float, ...]:
        """By how much each margin of a bait is less than the linear picture says (second-order correction; Fletcher,
        Practical Methods of Optimization, 1987, section 14.4, from memory)."""
        told = self._view(there).margins
        if len(told) != len(view.margins):
            return ()
        moved = [at - before for at, before in zip(self.space.point(there.values), point, strict=True)]
        expected = [
            margin + sum(slope.margins[side] * way for slope, way in zip(slopes, moved, strict=True) if slope)
            for side, margin in enumerate(view.margins)
        ]
        return tuple(max(said - is_, 0.0) for said, is_ in zip(expected, told, strict=True))

    def _whole_moved(self, point: Point, step: Point) -> bool:
        moved = zip(self.space.axes, point, step, strict=True)
        return any(axis.counted and abs(there - here) > 0.5 for axis, here, there in moved)

    def _view(self, trial: Trial) -> _View:
        margins = tuple(margin.value for each in self.aim.requirements for margin in trial.margins(each))
        return _View(self._score(trial), margins)

    def _score(self, trial: Trial) -> float:
        """Over its size. A distance is in the picture by itself; of what has no such figure it counts nothing."""
        score = self.aim.score(trial)
        return 0.0 if self.aim.near is not None or math.isinf(score) else score / self.size

    def _merit(self, trial: Trial) -> float:
        if not trial.stands:
            return math.inf
        margins = [margin for each in self.aim.requirements for margin in trial.margins(each)]
        missed = sum(max(margin.aim - margin.value, 0.0) for margin in margins)
        score = self.aim.score(trial)
        return float(f"{WEIGHT * missed + (NO_SCORE if math.isinf(score) else score / self.size):.9g}")

    def _slopes(
        self, point: Point, view: _View, reach: float, whole_too: bool, kept: frozenset[int]
    ) -> list[_View | None]:
        """How score and margins change along each axis, for one unit of its coordinate; None where it is held."""
        slopes: list[_View | None] = []
        for place, axis in enumerate(self.space.axes):
            held = place in kept or bool(axis.choices) or not self.space.ends[place] or (axis.counted and not whole_too)
            # Of a number in steps, one step at the least: less than that moves nothing.
            finest = axis.step / (axis.maximum - axis.minimum) if axis.step and not held else 0.0
            probe = 1.0 if self.space.whole[place] else max(min(PROBE, reach), finest)
            slopes.append(None if held else self._slope(point, view, place, probe))
        return slopes

    def _slope(self, point: Point, view: _View, place: int, probe: float) -> _View | None:
        for way in (1, -1) if point[place] <= self.space.ends[place] / 2 else (-1, 1):
            moved = tuple(at + way * probe * (k == place) for k, at in enumerate(point))
            if not 0 <= moved[place] <= self.space.ends[place]:
                continue
            trial = self.trials.trial(self.space.values(moved))
            run = self.space.coordinate(place, trial.values[place]) - point[place]
            if not trial.stands or run == 0:
                continue
            there = self._view(trial)
            if len(there.margins) != len(view.margins):  # a check has more to say of one of the two
                continue
            return _View(
                (there.score - view.score) / run,
                tuple((b - a) / run for a, b in zip(view.margins, there.margins, strict=True)),
            )
        return None

    def _step(
        self,
        point: Point,
        view: _View,
        slopes: list[_View | None],
        reach: float,
        short: tuple[float, ...] = (),
    ) -> Point | None:
        """Where the linear picture is best within reach; its variables: moves, what is missed, distances.

        `short`: by how much each margin is less than the picture says.
        """
        free = [place for place, slope in enumerate(slopes) if slope is not None]
        if not free:
            return None
        moves, sides = len(free), len(view.margins)
        near = moves if self.aim.near is not None else 0
        cost = np.concatenate([np.zeros(moves), np.full(sides, WEIGHT), np.zeros(near)])
        low, high, whole = np.zeros(len(cost)), np.full(len(cost), np.inf), np.zeros(len(cost))
        rows, least = [], []
        for k, place in enumerate(free):
            slope, end = slopes[place], self.space.ends[place]
            cost[k] = 0.0 if slope is None else slope.score
            far = max(1.0, reach * end) if self.space.whole[place] else reach
            low[k], high[k] = max(-far, -point[place]), min(far, end - point[place])
            whole[k] = float(self.space.whole[place])
        for side, margin in enumerate(view.margins):
            row = np.zeros(len(cost))
            for k, place in enumerate(free):
                slope = slopes[place]
                row[k] = 0.0 if slope is None else slope.margins[side]
            row[moves + side] = 1.0
            rows.append(row)
            least.append(self.aims[side] - margin + (short[side] if short else 0.0))
        for k, place in enumerate(free if near else ()):
            at = self.space.coordinate(place, self.aim.near[place]) - point[place]  # type: ignore[index]
            cost[moves + sides + k] = 1.0 / (self.space.ends[place] * self.size)
            for way in (1.0, -1.0):
                row = np.zeros(len(cost))
                row[k], row[moves + sides + k] = -way, 1.0
                rows.append(row)
                least.append(-way * at)
        solved = milp(
            cost,
            constraints=LinearConstraint(np.array(rows), np.array(least), np.inf) if rows else (),
            integrality=whole,
            bounds=Bounds(low, high),
        )
        if solved.x is None:
            return None
        step = dict(zip(free, solved.x[:moves].tolist(), strict=True))
        return tuple(at + step.get(place, 0.0) for place, at in enumerate(point))
