"""The line of a curled tail: a straight stem, then a spiral that narrows evenly with its turn, in one plane.

The radius falls in proportion to the angle turned, so a long tail opens out like a sickle and a short one is nearly a
circle's arc. With R = R0 - f t after a turn of t, place and length are closed forms: the integral of R (cos t, sin t).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from worker.strands.hermite import Knot
from worker.strands.roots import Array
from worker.styles.placing import Place

STEMS = (0.26, 0.22, 0.32, 0.18, 0.38, 0.14, 0.46, 0.1, 0.54, 0.06, 0.62, 0.7)
"""Shares of a tail that its straight stem may take, the one that looks best first (judgement)."""
ROOM = 0.8
"""Least gap from a curl to itself and to the body, mm: the thinnest wall of a mould that lasts (judgement)."""
KNOT_TURN = math.radians(40.0)
"""Greatest turn from knot to knot; a cubic keeps within 2e-5 of its radius over it."""
LOOKS = 96
"""Places along the spiral that are looked at."""


@dataclass(frozen=True)
class Spiral:
    """`stem` mm straight, then `turn` radians on radii from `first` to `last`, mm; it curls to the left."""

    stem: float
    turn: float
    first: float
    last: float

    @property
    def length(self) -> float:
        """Along it, mm."""
        return self.stem + self.turn * (self.first + self.last) / 2

    def radius(self, turned: Array) -> Array:
        """Radius after so much of the turn, radians."""
        return np.asarray(self.first + (self.last - self.first) * turned / self.turn)

    def stations(self, turned: Array) -> Array:
        """Distance along it, mm, after so much of the turn."""
        return np.asarray(self.stem + turned * (self.first + self.radius(turned)) / 2)

    def points(self, turned: Array) -> tuple[Array, Array]:
        """How far ahead and to the left, mm, after so much of the turn."""
        fall, radius = (self.last - self.first) / self.turn, self.radius(turned)
        ahead = radius * np.sin(turned) - fall * (1 - np.cos(turned))
        left = self.first - radius * np.cos(turned) + fall * np.sin(turned)
        return np.asarray(self.stem + ahead), np.asarray(left)

    def knots(self, place: Place) -> tuple[Knot, ...]:
        """From the place on: the stem, and a cubic for every part of the turn.

        The tangent with which a cubic runs closest to a circle's arc is 4 tan(angle / 4) radii long.
        """
        count = math.ceil(self.turn / KNOT_TURN)
        turned = self.turn * np.arange(count + 1) / count
        ahead, left = self.points(turned)
        handle = 4 * math.tan(self.turn / count / 4) * self.radius(turned)
        knots = [Knot(place.origin, place.ahead, 0.0, self.stem)]
        for number in range(count + 1):
            way = place.way(math.cos(float(turned[number])), math.sin(float(turned[number])))
            before = float(handle[number]) if number else self.stem
            knots.append(Knot(place.at(float(ahead[number]), float(left[number])), way, before, float(handle[number])))
        return tuple(knots)


def spiral(
    length: float,
    degrees: float,
    inner: float,
    half_widths: Callable[[Array], Array],
    stems: tuple[float, ...] = STEMS,
) -> Spiral | None:
    """A tail's line whose inner edge turns on no less than `inner` mm; it meets neither itself nor the body.

    `half_widths` gives the blade's half-width at shares of its length. The body ends where the stem begins. None where
    the tail is too short for its turn or runs into itself with every one of its `stems`, shares of the length.
    """
    turn = math.radians(degrees)
    for share in stems:
        found = _narrowing(share * length, turn, (1 - share) * length / turn, inner, half_widths)
        if found is not None and clear(found, half_widths):
            return found
    return None


def _narrowing(
    stem: float, turn: float, middle: float, inner: float, half_widths: Callable[[Array], Array]
) -> Spiral | None:
    """The spiral of that mean radius that narrows as much as its inner edge allows; None where none is wide enough."""
    share = np.arange(LOOKS + 1) / LOOKS
    fall, line = 0.0, Spiral(stem, turn, middle, middle)
    for _ in range(3):  # where along the blade a turn lies depends on the fall, and that on the blade: it settles fast
        room = middle - half_widths(line.stations(turn * share) / line.length) - inner
        early, late = share < 0.5 - 1e-9, share > 0.5 + 1e-9
        least = float((-room[early] / (0.5 - share[early])).max())
        most = float((room[late] / (share[late] - 0.5)).min())
        if float(room[LOOKS // 2]) < 0 or most < max(least, 0.0):
            return None
        fall = min(most, 1.6 * middle)
        line = Spiral(stem, turn, middle + fall / 2, middle - fall / 2)
    return line


def clear(line: Spiral, half_widths: Callable[[Array], Array]) -> bool:
    """Whether it keeps its room to itself and stays behind the body's end."""
    turned = line.turn * np.arange(LOOKS + 1) / LOOKS
    ahead, left = line.points(turned)
    half = half_widths(line.stations(turned) / line.length)
    back = turned >= math.pi / 2
    inward = half * np.abs(np.sin(turned))  # the edge beside a point lies square to the way there
    if bool(np.any((ahead - inward)[back] < ROOM)):
        return False
    stem = line.stem * np.arange(13) / 12
    ahead, left = np.concatenate([stem[:-1], ahead]), np.concatenate([np.zeros(12), left])
    half = np.concatenate([half_widths(stem[:-1] / line.length), half])
    turned = np.concatenate([np.zeros(12), turned])
    apart = np.hypot(ahead[:, None] - ahead[None, :], left[:, None] - left[None, :])
    facing = turned[:, None] - turned[None, :] >= math.pi
    return bool(np.all((apart - half[:, None] - half[None, :] >= ROOM) | ~facing))
