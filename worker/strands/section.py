"""The section of a strand: a superellipse, its upper and its lower half with their own exponent.

|y / a|^n + |z / b|^n = 1: 2 is an ellipse, larger is squarer (Lame's curve; its area is
4 a b Gamma(1 + 1/n)^2 / Gamma(1 + 2/n), by the beta integral: NIST Digital Library of Mathematical Functions 5.12.1).
A floor cuts the lower half off level, for a flat belly.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from worker.strands.roots import Array

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
"""Quadrature over a quarter of a section, by the angle of its parameter."""
_EXACT = 10
"""Decimals that a power is kept to: its last bit depends on the processor."""


def raised(base: Array, exponent: float) -> Array:
    """`base` to a power, kept to so many decimals that it is the same on every processor."""
    return base if exponent == 1 else np.asarray(np.round(np.power(base, exponent), _EXACT))


@dataclass(frozen=True)
class Section:
    """Exponents of the upper and lower half, at least 1.2; `floor`: mm below the path where the belly is cut level.

    Sizes are given as arrays (n,): half-width `a`, reach to the back `b` and to the belly `c`, mm.
    """

    upper: float = 2.0
    lower: float = 2.0
    floor: float | None = None

    @property
    def elliptic(self) -> bool:
        """Whether both halves are those of an ellipse, uncut."""
        return self.upper == self.lower == 2 and self.floor is None

    @property
    def even(self) -> bool:
        """Whether the lower half mirrors the upper one where the reaches are equal."""
        return self.upper == self.lower and self.floor is None

    def below(self, c: Array) -> Array:
        """Reach to the belly after the floor has cut it, mm."""
        return c if self.floor is None else np.minimum(c, self.floor)

    def area(self, a: Array, b: Array, c: Array) -> Array:
        """Area, mm2."""
        if self.elliptic:
            return np.asarray(np.pi * a * ((b + c) / 2))
        return np.asarray(half_area(self.upper) * a * b + a * c * self._cut_area(c))

    def _cut_area(self, c: Array) -> Array:
        """Area of the lower half over its half-width times its reach."""
        if self.floor is None:
            return np.full(len(c), half_area(self.lower))
        return np.asarray(self._cut(c)[0])

    def _cut(self, c: Array) -> Array:
        """Area, first and second moment and sideways moment of the lower half of half-width and reach 1; (4, n).

        Down to the floor, by quadrature over the depth u = sin t: 2 (1 - u^n)^(1/n) is the width there.
        """
        depth = np.minimum((np.inf if self.floor is None else self.floor) / np.maximum(c, 1e-12), 1.0)
        top = np.arctan2(depth, np.sqrt(np.maximum(1 - depth * depth, 0.0)))[:, None]
        angle = top * ((_NODES + 1) / 2)
        u, weight = np.sin(angle), np.cos(angle) * top * _WEIGHTS / 2
        half = np.power(np.maximum(1 - np.power(u, self.lower), 0.0), 1 / self.lower)
        parts = [2 * half, 2 * half * u, 2 * half * u * u, 2 / 3 * half * half * half]
        cut = np.round([(part * weight).sum(axis=1) for part in parts], _EXACT)
        return np.where(depth >= 1, np.array(_half_moments(self.lower))[:, None], cut)

    def cut_angle(self, depth: Array) -> Array:
        """Parameter angle of the superellipse's point `depth` (of its reach) below the middle."""
        sine = raised(depth, self.lower / 2)
        return np.asarray(np.arctan2(sine, np.sqrt(np.maximum(1 - sine * sine, 0.0))))

    def moments(self, a: Array, b: Array, c: Array) -> tuple[Array, Array, Array]:
        """Height of the centroid over the path, mm, and second moments about it, mm4: up and down, and sideways.

        Of an even ellipse pi a b^3 / 4 and pi a^3 b / 4.
        """
        if self.elliptic and b is c:
            quarter = np.pi / 4 * a * b
            return np.zeros(len(a)), quarter * b * b, quarter * a * a
        upper = np.array(_half_moments(self.upper))[:, None]
        lower = np.array(_half_moments(self.lower))[:, None] if self.floor is None else self._cut(c)
        first = a * (b * b * upper[1] - c * c * lower[1])
        second = a * (b * b * b * upper[2] + c * c * c * lower[2])
        sideways = a * a * a * (b * upper[3] + c * lower[3])
        area = np.maximum(self.area(a, b, c), 1e-12)
        return first / area, second - first * first / area, sideways

    def rim(self, a: Array, b: Array, c: Array, around: int) -> tuple[Array, Array]:
        """Points of the sections' polygons of equal area, to the left and to the back: (n, `around`) each, mm.

        From the left over the back; `around` is a multiple of 4. Where a floor cuts, the corners are points.
        """
        left, up = self._profile(around)
        y, z = a[:, None] * left, np.where(up >= 0, b[:, None], c[:, None]) * up
        if self.floor is None:
            return y, z
        depth = np.minimum(self.floor / np.maximum(c, 1e-12), 1.0)
        quarter = around // 4
        # From one side to the corner by `quarter` - 1 steps; the middle point lies between the two corners.
        angle = self.cut_angle(depth)[:, None] * (np.arange(1, quarter) / (quarter - 1))
        power = 2 / self.lower
        down, half = raised(np.sin(angle), power), raised(np.cos(angle), power)
        down[:, -1] = depth
        half = a[:, None] * half
        lower_z = -c[:, None] * down
        # Only widths keep the area: the floor stays level.
        edge = np.concatenate([a[:, None], half], axis=1)
        drop = np.concatenate([np.zeros((len(a), 1)), -lower_z], axis=1)
        polygon = ((edge[:, 1:] + edge[:, :-1]) * np.diff(drop, axis=1)).sum(axis=1)
        exact = a * c * self._cut_area(c)
        rest = polygon - (a * drop[:, 1])
        wider = np.where(rest > 1e-12, (exact - a * drop[:, 1]) / np.maximum(rest, 1e-12), 1.0)
        half = half * np.clip(wider, 1.0, 1.1)[:, None]
        y[:, around // 2 + 1 : around // 2 + quarter] = -half
        z[:, around // 2 + 1 : around // 2 + quarter] = lower_z
        y[:, around // 2 + quarter], z[:, around // 2 + quarter] = 0.0, lower_z[:, -1]
        y[:, around // 2 + quarter + 1 :] = half[:, ::-1]
        z[:, around // 2 + quarter + 1 :] = lower_z[:, ::-1]
        return y, z

    def _profile(self, around: int) -> tuple[Array, Array]:
        return _profile(self.upper, self.lower, around)

    def corners(self) -> float:
        """How many times the corners of a circle's polygon this section's takes for the same distance."""
        return 1.0 if self.elliptic else 1.25

    def reach(self, a: Array, b: Array, c: Array, left: Array, up: Array) -> Array:
        """How far the section reaches along (`left`, `up`), (n,): its support function, by the dual norm."""
        return np.asarray(np.where(up >= 0, self._reach(a, b, left, up, self.upper), self._down(a, c, left, up)))

    @staticmethod
    def _reach(a: Array, b: Array, left: Array, up: Array, power: float) -> Array:
        across, upward = np.abs(left) * a, np.abs(up) * b
        if power == 2:
            return np.asarray(np.sqrt(across * across + upward * upward))
        dual = power / (power - 1)
        return raised(raised(across, dual) + raised(upward, dual), 1 / dual)

    def _down(self, a: Array, c: Array, left: Array, up: Array) -> Array:
        reach = self._reach(a, c, left, up, self.lower)
        if self.floor is None:
            return reach
        dual = self.lower / (self.lower - 1)
        across, upward = np.abs(left) * a, np.abs(up) * c
        # The point that reaches furthest lies c (upward / reach)^(dual - 1) below the middle.
        deep = c * np.power(np.minimum(upward / np.maximum(reach, 1e-12), 1.0), dual - 1)
        depth = np.minimum(self.floor / np.maximum(c, 1e-12), 1.0)
        corner = across * np.power(1 - np.power(depth, self.lower), 1 / self.lower) + np.abs(up) * self.floor
        return np.where(deep > self.floor, np.round(corner, _EXACT), reach)

    def beyond(self, a: Array, b: Array, c: Array, left: Array, up: Array) -> Array:
        """Distance of a point from the path over the section's own reach that way, less 1: below 0 inside; (n,)."""
        over = np.where(up >= 0, b, c)
        across, upward = np.abs(left) / np.maximum(a, 1e-9), np.abs(up) / np.maximum(over, 1e-9)
        if self.upper == self.lower == 2:
            out = np.sqrt(across * across + upward * upward) - 1
        else:
            power = np.where(up >= 0, self.upper, self.lower)
            out = np.round(np.power(np.power(across, power) + np.power(upward, power), 1 / power), _EXACT) - 1
        return out if self.floor is None else np.maximum(out, -up / self.floor - 1)

    @cached_property
    def described(self) -> dict[str, float]:
        """For an answer."""
        told = {"upper": self.upper, "lower": self.lower}
        return told if self.floor is None else {**told, "floor": self.floor}


ELLIPSE = Section()


def half_area(exponent: float) -> float:
    """Area of half a superellipse over its half-width times its reach; pi / 2 of an ellipse."""
    return math.pi / 2 if exponent == 2 else _half_moments(exponent)[0]


@lru_cache(maxsize=256)
def _half_moments(exponent: float) -> tuple[float, float, float, float]:
    """Area, first and second moment over the middle line and sideways moment of half a superellipse of size 1.

    Euler's beta integral: the integral of u^i (1 - u^n)^(j/n) from 0 to 1 is B((i + 1)/n, j/n + 1) / n.
    """

    def beta(i: int, j: int) -> float:
        x, y = (i + 1) / exponent, j / exponent + 1
        return math.gamma(x) * math.gamma(y) / math.gamma(x + y) / exponent

    moments = (2 * beta(0, 1), 2 * beta(1, 1), 2 * beta(2, 1), 2 / 3 * beta(0, 3))
    return tuple(round(moment, 12) for moment in moments)  # type: ignore[return-value]


def equal_area(around: int) -> float:
    """By how much the corners of a polygon of so many stand outside a circle of its own area, as a share.

    The area of a regular polygon of n corners at radius r is n/2 r^2 sin(2 pi / n).
    """
    return math.sqrt(2 * math.pi / around / math.sin(2 * math.pi / around))


@lru_cache(maxsize=256)
def _profile(upper: float, lower: float, around: int) -> tuple[Array, Array]:
    """The polygon of a section of half-width and reaches 1 whose halves keep their area; (around,) each."""
    angle = 2 * np.pi * np.arange(around) / around
    half = around // 2
    if upper == lower == 2:
        keep_area = equal_area(around)
        return keep_area * np.cos(angle), keep_area * np.sin(angle)
    cosine, sine = np.cos(angle), np.sin(angle)
    cosine[[around // 4, 3 * around // 4]] = 0.0
    sine[[0, half]] = 0.0
    power = np.where(np.arange(around) <= half, 2 / upper, 2 / lower)
    left = np.round(np.sign(cosine) * np.power(np.abs(cosine), power), _EXACT)
    up = np.round(np.sign(sine) * np.power(np.abs(sine), power), _EXACT)
    grown = [
        half_area(exponent) / _polygon(left[part], up[part])
        for exponent, part in ((upper, np.arange(half + 1)), (lower, np.arange(half, around + 1) % around))
    ]
    wider = math.sqrt(max(min(grown), 1.0))
    left = left * wider
    up = np.where(up >= 0, up * (grown[0] / wider), up * (grown[1] / wider))
    return left, up


def _polygon(left: Array, up: Array) -> float:
    """Area between a half's points and the middle line."""
    return abs(float((left[:-1] * up[1:] - left[1:] * up[:-1]).sum())) / 2
