"""Girth: how wide a strand is, and how far it reaches to the back and the belly, along its path."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from scipy.interpolate import PchipInterpolator

from worker.strands.cubics import Cubics
from worker.strands.outline import Outline, Outlines
from worker.strands.roots import Array


@dataclass(frozen=True)
class GirthStation:
    """One station: `at` a fraction of the path from root to tip; full width, and reach to back and belly, mm."""

    at: float
    width: float
    back: float
    belly: float


@dataclass(frozen=True)
class Girth:
    """Stations, interpolated without overshoot (PCHIP: Fritsch and Butland 1984, by SciPy)."""

    stations: tuple[GirthStation, ...]

    @classmethod
    def oval(cls, *at_width_height: tuple[float, float, float]) -> Girth:
        """Sections of a width and a height each, the same to back and belly."""
        return cls(tuple(GirthStation(at, width, height / 2, height / 2) for at, width, height in at_width_height))

    @classmethod
    def circular(cls, *at_width: tuple[float, float]) -> Girth:
        """Round sections."""
        return cls.oval(*((at, width, width) for at, width in at_width))

    @property
    def round(self) -> bool:
        """Whether every section is as high as it is wide."""
        return all(s.back == s.belly == s.width / 2 for s in self.stations)

    @property
    def even(self) -> bool:
        """Whether it reaches as far to the belly as to the back everywhere."""
        return all(s.back == s.belly for s in self.stations)

    def width(self, fraction: Array) -> Array:
        """Full width, mm, at each fraction of the path."""
        at, width = self._at(), [station.width for station in self.stations]
        if len(at) == 2:
            # PCHIP of two points is their line.
            return width[0] + (width[1] - width[0]) * (fraction - at[0]) / (at[1] - at[0])
        return np.asarray(PchipInterpolator(at, width)(fraction))

    def half_widths(self, length: float) -> Cubics:
        """Half-width as piecewise cubics along a path of `length` mm."""
        return _cubics(self, length)[0]

    def backs(self, length: float) -> Cubics:
        """Reach to the back as piecewise cubics."""
        return _cubics(self, length)[1]

    def bellies(self, length: float) -> Cubics:
        """Reach to the belly as piecewise cubics."""
        return _cubics(self, length)[2]

    def outlines(self, length: float, made: Callable[[Cubics], Outline]) -> Outlines:
        """`made` of the half-widths and of the reaches to back and belly; made once of those that are equal."""
        side = made(self.half_widths(length))
        back = side if self.round else made(self.backs(length))
        return Outlines(side, back, back if self.even else made(self.bellies(length)))

    def _at(self) -> list[float]:
        return [station.at for station in self.stations]

    def describe(self) -> list[dict[str, Any]]:
        """For an answer."""
        return [{"at": s.at, "width": s.width, "back": s.back, "belly": s.belly} for s in self.stations]


@lru_cache(maxsize=64)  # a strand asks for both, with its relief and without
def _cubics(girth: Girth, length: float) -> tuple[Cubics, Cubics, Cubics]:
    """Half-widths and reaches to back and belly along a path of `length` mm."""
    at = np.array([station.at for station in girth.stations]) * length
    values = np.array([(s.width / 2, s.back, s.belly) for s in girth.stations])
    if len(at) == 2:
        slope, none = np.diff(values, axis=0) / np.diff(at), np.zeros(1)
        every = [Cubics(at[:1], at[1:], at[:1], values[:1, of], slope[:, of], none, none) for of in (0, 1, 2)]
    else:
        third, second, slope, height = PchipInterpolator(at, values).c
        every = [
            Cubics(at[:-1], at[1:], at[:-1], height[:, of], slope[:, of], second[:, of], third[:, of])
            for of in (0, 1, 2)
        ]
    return every[0], every[1], every[2]
