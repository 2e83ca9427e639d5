"""A cantilever that bends far under its own weight: a fixed chain of stiff links, joined by springs.

Links hang by theta below level, and the chain lies still where its energy, sum of k (turn)^2 / 2 less what its weights
have fallen by, is least. With every link between level and upright there is one such place, and Newton's rule comes
down on it from above: no step is too long, and few are needed. What comes out is right to the second order of a link's
length.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

MOST_STEPS, SETTLED = 60, 1e-10
"""Newton's rule doubles its digits at each step; radians."""


@dataclass(frozen=True)
class Chain:
    """From the hold to the tip. `links`: mm; `springs`: N mm, stiffness between a link and what is before it.

    `loads`: N mm, the moment of all that each link carries about its own beginning when it is level: the weight beyond
    it times its length, and its own at half of that.
    """

    links: tuple[float, ...]
    springs: tuple[float, ...]
    loads: tuple[float, ...]

    def heavier(self, factor: float) -> Chain:
        """With `factor` times the weight."""
        return Chain(self.links, self.springs, tuple(load * factor for load in self.loads))


def hung(chain: Chain) -> list[float]:
    """The angle, radians, at which each link hangs below level."""
    springs, loads = chain.springs, chain.loads
    # What small turns would give is never less than the truth, and neither is straight down.
    angles = [min(angle, math.pi / 2) for angle in _small_turns(springs, loads)]
    for _ in range(MOST_STEPS):
        step = _step(springs, loads, angles)
        angles = [angle + move for angle, move in zip(angles, step, strict=True)]
        if max(map(abs, step)) < SETTLED:
            break
    return angles


def chord(links: Sequence[float], angles: Sequence[float]) -> float:
    """How far below level, radians, the line from the hold to the tip points."""
    along = sum(link * math.cos(angle) for link, angle in zip(links, angles, strict=True))
    down = sum(link * math.sin(angle) for link, angle in zip(links, angles, strict=True))
    return math.atan2(down, along)


def _step(springs: Sequence[float], loads: Sequence[float], angles: Sequence[float]) -> list[float]:
    """One step of Newton's rule: three bands, solved first down and then up, in one walk each way.

    k_i (x_i - x_i-1) - k_i+1 (x_i+1 - x_i) + load_i sin(angle_i) x_i = load_i cos(angle_i) - moment_i + moment_i+1.
    """
    cosine, sine = math.cos, math.sin
    diagonal: list[float] = []
    solved: list[float] = []
    spring, at = springs[0], angles[0]
    moment, wide, rest = spring * at, 0.0, 0.0
    for load, stiffer, there in zip(loads, [*springs[1:], 0.0], [*angles[1:], 0.0], strict=True):
        behind = stiffer * (there - at)
        own = spring + stiffer + load * sine(at)
        right = load * cosine(at) - moment + behind
        if diagonal:
            share = spring / wide
            own -= spring * share
            right += rest * share
        diagonal.append(own)
        solved.append(right)
        spring, at, moment, wide, rest = stiffer, there, behind, own, right
    return _upward(springs, diagonal, solved)


def _small_turns(springs: Sequence[float], loads: Sequence[float]) -> list[float]:
    """The same of a level chain, taken to stay nearly level."""
    diagonal = [here + behind for here, behind in zip(springs, [*springs[1:], 0.0], strict=True)]
    solved = list(loads)
    for i in range(1, len(solved)):
        share = springs[i] / diagonal[i - 1]
        diagonal[i] -= springs[i] * share
        solved[i] += solved[i - 1] * share
    return _upward(springs, diagonal, solved)


def _upward(springs: Sequence[float], diagonal: Sequence[float], solved: list[float]) -> list[float]:
    """What is left to solve once the band below the diagonal is gone."""
    last = solved[-1] = solved[-1] / diagonal[-1]
    for i in range(len(solved) - 2, -1, -1):
        last = solved[i] = (solved[i] + springs[i + 1] * last) / diagonal[i]
    return solved
