"""Girth: how wide a strand is, and how far it reaches to the back and the belly, along its path."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.interpolate import PchipInterpolator

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
    def round(cls, *at_and_width: tuple[float, float], height_ratio: float = 1.0) -> Girth:
        """Round sections, or oval ones `height_ratio` times as high as wide."""
        return cls(tuple(GirthStation(at, w, w / 2 * height_ratio, w / 2 * height_ratio) for at, w in at_and_width))

    def width(self, fraction: Array) -> Array:
        """Full width, mm, at each fraction of the path."""
        at = [station.at for station in self.stations]
        width = [station.width for station in self.stations]
        if len(at) == 2:
            # PCHIP of two points is their line.
            return width[0] + (width[1] - width[0]) * (fraction - at[0]) / (at[1] - at[0])
        return np.asarray(PchipInterpolator(at, width)(fraction))

    def describe(self) -> list[dict[str, Any]]:
        """For an answer."""
        return [{"at": s.at, "width": s.width, "back": s.back, "belly": s.belly} for s in self.stations]
