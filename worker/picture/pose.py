"""A mesh bent along a line: how a bait lies that hangs by its own weight."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from worker.picture.vector import Doubles

_PARTS = 4
"""Places of the line in each stretch of one stiffness; between them it turns evenly."""


@dataclass(frozen=True)
class Bend:
    """A line before and after it is bent, at places whose x grows: `before` and `after` (n, 3) mm, and the sine and
    cosine (n,) of the angle by which all that is beside it there is turned down about y."""

    before: Doubles
    after: Doubles
    sine: Doubles
    cosine: Doubles

    def bent(self, vertices: ArrayLike) -> Doubles:
        """Points (n, 3), mm, carried along: each stays where it is beside the line's place of its own x.

        What is ahead of the line's beginning stays, and what is beyond its end goes on as it is there.
        """
        points = np.asarray(vertices, np.float64)
        at = self.before[:, 0]
        old, new = (
            np.stack([np.interp(points[:, 0], at, line[:, axis]) for axis in range(3)], axis=1)
            for line in (self.before, self.after)
        )
        sine, cosine = (np.interp(points[:, 0], at, each) for each in (self.sine, self.cosine))
        length = np.sqrt(sine * sine + cosine * cosine)
        sine, cosine = sine / length, cosine / length
        beside = points - old
        along = beside[:, 0] * cosine + beside[:, 2] * sine
        up = beside[:, 2] * cosine - beside[:, 0] * sine
        return new + np.stack([along, beside[:, 1], up], axis=1)


def stations_of(hold: float, length: float, links: int) -> Doubles:
    """Places, mm along a trunk of `length`, at which `bend_of` wants the line: from the hold to the tip."""
    return hold + (length - hold) * np.arange(links * _PARTS + 1) / (links * _PARTS)


def bend_of(line: Doubles, angles: Sequence[float]) -> Bend:
    """The bend of a line, (n, 3) mm at the places of `stations_of`, whose stretches hang by `angles`, radians.

    Level where it is held, it turns evenly from the middle of one stretch to that of the next, and no more behind the
    last one's. Where the line turns back towards the nose it is bent no further.
    """
    places = np.arange(len(line)) / _PARTS
    middles = np.concatenate([[0.0], np.arange(len(angles)) + 0.5])
    turns = np.interp(places, middles, np.concatenate([[0.0], np.asarray(angles)])).tolist()
    sine, cosine = np.array([math.sin(turn) for turn in turns]), np.array([math.cos(turn) for turn in turns])
    step = np.diff(line, axis=0)
    half = [0.5 * (first + second) for first, second in pairwise(turns)]
    s, c = np.array([math.sin(turn) for turn in half]), np.array([math.cos(turn) for turn in half])
    moved = np.stack([step[:, 0] * c + step[:, 2] * s, step[:, 1], step[:, 2] * c - step[:, 0] * s], axis=1)
    after = np.concatenate([line[:1], line[:1] + np.cumsum(moved, axis=0)])
    grows = int(np.flatnonzero(np.concatenate([step[:, 0] <= 0, [True]]))[0]) + 1
    return Bend(line[:grows], after[:grows], sine[:grows], cosine[:grows])
