"""A figure's range out of repeated pieces: their mean, and what nine in ten further pieces would lie between.

For n pieces of standard deviation s that is mean +- t s sqrt(1 + 1/n), with Student's t at 95 % and n - 1 degrees of
freedom: the prediction interval of a normal sample (Hahn and Meeker, Statistical Intervals, chapter 4; from memory). A
bait is a further piece, so it is this and not how well the mean is known that its checks have to reckon with.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import mean, stdev

from scipy.special import stdtrit

ENOUGH = 3
"""Pieces from which their own scatter is believed."""
SIDE = 0.95
"""Nine in ten lie between: one in twenty below, one in twenty above."""
FEW: Mapping[str, float] = {"density": 0.02, "modulus": 0.3, "strength": 0.3, "tear_energy": 0.4, "shrinkage": 0.3}
"""With fewer pieces the range goes this share below the least and above the most of them (judgement)."""
READING = 0.1
"""No range is narrower than this part of that share: rulers and scales are no better (judgement)."""
LEAST_REACH: Mapping[str, float] = {"shrinkage": 0.3}
"""And none reaches less than this to either side, in the figure's unit: a ruler's third of a millimetre on a bait of
100 mm, so that a shrinkage measured as none is not taken to be certain (judgement)."""
FLOOR = 0.5
"""The low end stays above this share of the least piece: a few scattered ones would reach below nothing (judgement)."""


@dataclass(frozen=True)
class Scatter:
    """Low, mean and high in the figure's unit; `count` pieces, and in words how the range came about."""

    low: float
    mean: float
    high: float
    count: int
    words: str


def scatter_of(figure: str, values: Sequence[float]) -> Scatter:
    """The range of a `figure` that one or more pieces told, each 0 or more."""
    count, middle = len(values), mean(values)
    if count < ENOUGH:
        share = FEW[figure]
        words = f"{share:.0%} beyond the {'piece' if count == 1 else 'two pieces'}, by judgement"
        return _no_nearer(figure, Scatter(min(values) * (1 - share), middle, max(values) * (1 + share), count, words))
    reach = float(stdtrit(count - 1, SIDE)) * stdev(values) * math.sqrt(1 + 1 / count)
    reach = max(reach, READING * FEW[figure] * middle)
    low = max(middle - reach, FLOOR * min(values))
    words = "nine in ten further pieces, by Student's t"
    return _no_nearer(figure, Scatter(low, middle, middle + reach, count, words))


def _no_nearer(figure: str, told: Scatter) -> Scatter:
    """The range, no narrower to either side than a reading of this figure is."""
    least = LEAST_REACH.get(figure, 0.0)
    if told.high - told.mean >= least:
        return told
    words = f"{least:g} to either side, no nearer than it can be read, by judgement"
    return Scatter(max(told.mean - least, 0.0), told.mean, told.mean + least, told.count, words)
