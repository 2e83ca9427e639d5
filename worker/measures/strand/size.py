"""Length, width, height, volume and surface of a strand's body, by quadrature over its exact outlines."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.strands.body import Body, Grid
from worker.strands.roots import Array

_AROUND = 16
"""Quadrature points over a quarter of an oval section."""
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(_AROUND)


@dataclass(frozen=True)
class Size:
    """mm, mm2, mm3; `runs` is how many stretches do not hang together."""

    length: float
    max_width: float
    max_height: float
    volume: float
    surface: float
    runs: int


def size_of(body: Body, grid: Grid) -> Size:
    """Volume = sum of section areas; surface of revolution 2 pi y sqrt(1 + y'^2), or its oval counterpart.

    Walls (upright faces of barrels and cones, flat ends) are added to the surface.
    """
    half_width, half_height = body.half_sizes(grid.station)
    volume = float((grid.weight * np.pi * half_width * half_height).sum())
    surface = float((grid.weight * girdle(body, grid.station, half_width, half_height)).sum())
    surface += float(walls(body).sum())
    return Size(
        length=float(body.ends[-1] - body.ends[0]),
        max_width=2 * float(body.side.crest_y.max()),
        max_height=2 * float(body.height.crest_y.max()),
        volume=volume,
        surface=surface,
        runs=len(body.runs),
    )


def girdle(body: Body, station: Array, a: Array, b: Array) -> Array:
    """Surface per length of path, mm2 / mm, at each station."""
    rise_a, rise_b = body.rises(station)
    if body.round:
        return np.asarray(2 * np.pi * a * np.sqrt(1 + rise_a * rise_a))
    # |dP/dx x dP/dphi| of P = (x, a cos phi, b sin phi), over a quarter and four times.
    angle = np.pi / 4 * (_NODES + 1)
    cosine, sine = np.cos(angle)[:, None], np.sin(angle)[:, None]
    along = a * b * (cosine * cosine * rise_a / np.maximum(a, 1e-12) + sine * sine * rise_b / np.maximum(b, 1e-12))
    around = (a * sine) ** 2 + (b * cosine) ** 2
    return np.asarray(np.pi * (np.sqrt(around + along * along) * _WEIGHTS[:, None]).sum(axis=0))


def walls(body: Body) -> Array:
    """Area, mm2, of the upright step at each of the body's ends of pieces; mostly none."""
    ends = body.ends
    before = [outline.height_beside(ends, later=False) for outline in (body.side, body.height)]
    after = [outline.height_beside(ends, later=True) for outline in (body.side, body.height)]
    before[0][0] = before[1][0] = after[0][-1] = after[1][-1] = 0.0
    return np.asarray(np.pi * np.abs(before[0] * before[1] - after[0] * after[1]))
