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
    springs, count = chain.springs, len(chain.links)
    # What small turns would give is never less than the truth, and neither is straight down.
    angles = [min(angle, math.pi / 2) for angle in _solved(springs, [0.0] * count, chain.loads)]
    for _ in range(MOST_STEPS):
        moments = [
            spring * (here - before) for spring, before, here in zip(springs, [0.0, *angles], angles, strict=False)
        ]
        rest = [
            load * math.cos(angle) - before + behind
            for load, angle, before, behind in zip(chain.loads, angles, moments, [*moments[1:], 0.0], strict=True)
        ]
        step = _solved(springs, [load * math.sin(angle) for load, angle in zip(chain.loads, angles, strict=True)], rest)
        angles = [angle + move for angle, move in zip(angles, step, strict=True)]
        if max(abs(move) for move in step) < SETTLED:
            break
    return angles


def chord(links: Sequence[float], angles: Sequence[float]) -> float:
    """How far below level, radians, the line from the hold to the tip points."""
    along = sum(link * math.cos(angle) for link, angle in zip(links, angles, strict=True))
    down = sum(link * math.sin(angle) for link, angle in zip(links, angles, strict=True))
    return math.atan2(down, along)


def _solved(springs: Sequence[float], extra: Sequence[float], rest: Sequence[float]) -> list[float]:
    """x of k_i (x_i - x_i-1) - k_i+1 (x_i+1 - x_i) + extra_i x_i = rest_i: three bands, first down and then up."""
    diagonal = [here + behind + more for here, behind, more in zip(springs, [*springs[1:], 0.0], extra, strict=True)]
    solved = list(rest)
    for i in range(1, len(solved)):
        share = springs[i] / diagonal[i - 1]
        diagonal[i] -= springs[i] * share
        solved[i] += solved[i - 1] * share
    solved[-1] /= diagonal[-1]
    for i in range(len(solved) - 2, -1, -1):
        solved[i] = (solved[i] + springs[i + 1] * solved[i + 1]) / diagonal[i]
    return solved
