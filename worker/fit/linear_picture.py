"""What a search knows of the room around one bait: how score and margins change along each axis, as straight lines.

The step that is best in it is that of a linear program, whole numbers as whole numbers.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.fit.linear_program import LinearProgram
from worker.fit.space import Point, Space
from worker.fit.trials import Aim, Trial, Trials

WEIGHT = 1000.0
"""A share missed of a requirement over a share lost of the goal."""
PROBE = 1e-3
"""How far, over its range, a value is moved to see what follows: well over what six digits blur."""


@dataclass(frozen=True)
class View:
    """Score, over its size, and margins; or how they change along one axis for one unit of its coordinate."""

    score: float
    margins: tuple[float, ...]


Slopes = Sequence[View | None]
"""One an axis; None where it is held."""


@dataclass(frozen=True)
class LinearPicture:
    """Of one aim. `size`: what scores count over; `aims`: what each margin has to be."""

    trials: Trials
    aim: Aim
    size: float
    aims: tuple[float, ...]

    @classmethod
    def around(cls, trials: Trials, aim: Aim, start: Trial) -> LinearPicture:
        """With the measures of the bait that steps begin from."""
        score = aim.score(start)
        size = abs(score) if math.isfinite(score) and score else 1.0
        return cls(trials, aim, size, tuple(margin.aim for each in aim.requirements for margin in start.margins(each)))

    @property
    def space(self) -> Space:
        """The room of the search."""
        return self.trials.space

    def view(self, trial: Trial) -> View:
        """A bait's."""
        margins = tuple(margin.value for each in self.aim.requirements for margin in trial.margins(each))
        return View(self._score(trial), margins)

    def _score(self, trial: Trial) -> float:
        """Over its size. A distance is in the picture by itself; of what has no such figure it counts nothing."""
        score = self.aim.score(trial)
        return 0.0 if self.aim.near is not None or math.isinf(score) else score / self.size

    def slopes(self, point: Point, view: View, reach: float, whole_too: bool, kept: frozenset[int]) -> Slopes:
        """How score and margins change along each axis, for one unit of its coordinate; None where it is held."""
        slopes: list[View | None] = []
        for place, axis in enumerate(self.space.axes):
            held = place in kept or bool(axis.choices) or not self.space.ends[place] or (axis.counted and not whole_too)
            # Of a number in steps, one step at the least: less than that moves nothing.
            finest = axis.step / (axis.maximum - axis.minimum) if axis.step and not held else 0.0
            probe = 1.0 if self.space.whole[place] else max(min(PROBE, reach), finest)
            slopes.append(None if held else self._slope(point, view, place, probe))
        return slopes

    def _slope(self, point: Point, view: View, place: int, probe: float) -> View | None:
        for way in (1, -1) if point[place] <= self.space.ends[place] / 2 else (-1, 1):
            moved = tuple(at + way * probe * (k == place) for k, at in enumerate(point))
            if not 0 <= moved[place] <= self.space.ends[place]:
                continue
            trial = self.trials.trial(self.space.values(moved))
            run = self.space.coordinate(place, trial.values[place]) - point[place]
            if not trial.stands or run == 0:
                continue
            there = self.view(trial)
            if len(there.margins) != len(view.margins):  # a check has more to say of one of the two
                continue
            return View(
                (there.score - view.score) / run,
                tuple((b - a) / run for a, b in zip(view.margins, there.margins, strict=True)),
            )
        return None

    def step(
        self,
        point: Point,
        view: View,
        slopes: Slopes,
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
        every = np.array(rows) if rows else np.zeros((0, len(cost)))
        found = LinearProgram(cost, every, np.array(least), low, high, whole).solved()
        if found is None:
            return None
        step = dict(zip(free, found[:moves].tolist(), strict=True))
        return tuple(at + step.get(place, 0.0) for place, at in enumerate(point))

    def short(self, point: Point, view: View, slopes: Slopes, there: Trial) -> tuple[float, ...]:
        """By how much each margin of a bait is less than the linear picture says (second-order correction; Fletcher,
        Practical Methods of Optimization, 1987, section 14.4, from memory)."""
        told = self.view(there).margins
        if len(told) != len(view.margins):
            return ()
        moved = [at - before for at, before in zip(self.space.point(there.values), point, strict=True)]
        expected = [
            margin + sum(slope.margins[side] * way for slope, way in zip(slopes, moved, strict=True) if slope)
            for side, margin in enumerate(view.margins)
        ]
        return tuple(max(said - is_, 0.0) for said, is_ in zip(expected, told, strict=True))
