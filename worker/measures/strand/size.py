"""Length, width, height, volume and surface of a strand's body, by quadrature over its exact outlines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.strands.body import Body
from worker.strands.many import Many, at_rows, spans_of
from worker.strands.roots import Array
from worker.strands.section import Section
from worker.strands.strand import Strand
from worker.strands.vectors import dot

Sizes = tuple[Array, Array, Array]
_AROUND = 16
"""Quadrature points over a quarter of an oval section."""
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(_AROUND)
_COSINE, _SINE = (way(np.pi / 4 * (_NODES + 1))[:, None] for way in (np.cos, np.sin))


@dataclass(frozen=True)
class Size:
    """mm, mm2, mm3; `runs` is how many stretches do not hang together."""

    length: float
    max_width: float
    max_height: float
    volume: float
    surface: float
    runs: int


def size_of(body: Body) -> Size:
    """Volume = sum of section areas; surface of revolution 2 pi y sqrt(1 + y'^2), or its oval counterpart.

    Walls (upright faces of barrels and cones, flat ends) are added to the surface.
    """
    grid, sizes = body.whole_grid, body.sizes_on_grid
    rises = body.rises(grid.station)
    volume = float((grid.weight * body.section.area(*sizes)).sum())
    surface = float((grid.weight * girdle_of(body.section, sizes, rises, round_=body.round)).sum())
    surface += float(walls(body).sum())
    return Size(
        length=float(body.ends[-1] - body.ends[0]),
        max_width=2 * float(body.side.crest_y.max()),
        # The back may be highest at one station, the belly deepest at another.
        max_height=float(body.back.crest_y.max() + body.section.below(body.lower.crest_y).max()),
        volume=volume,
        surface=surface,
        runs=len(body.runs),
    )


def volume_of(strand: Strand) -> float:
    """Volume, mm3, of a strand on any path: Pappus, each section times the way of its centroid."""
    grid = strand.body.grid()
    area = strand.body.area(grid.station)
    return float((grid.weight * area * stretched(strand, grid.station)).sum())


def stretched(strand: Strand, station: Array) -> Array:
    """Way of the sections' centroids over the path's own: longer on the outside of a turn; (n,)."""
    if not _may_stretch(strand):
        return np.ones(len(station))
    return _stretched(strand, station, strand.body.sizes(station), strand.path.frames(station)[2])


def _may_stretch(strand: Strand) -> bool:
    return not (strand.path.straight or (strand.body.even and strand.section.even))


def _stretched(strand: Strand, station: Array, sizes: Sizes, back: Array) -> Array:
    height, _, _ = strand.section.moments(*sizes)
    return np.asarray(1 - height * dot(strand.path.curvature(station), back))


def volumes_and_skins(many: Many, station: Array, counts: Sequence[int], sizes: Sizes) -> tuple[Array, Array]:
    """Of many strands' sections: mm2 of area times its centroid's way, and girdle, mm2 / mm, each (n,)."""
    rises = many.rises(station, counts)
    area, skin = np.empty(len(station)), np.empty(len(station))
    for section, body, rows in many.alike(counts):
        size, rise = at_rows(sizes, rows), at_rows(rises, rows)
        area[rows] = section.area(*size)
        skin[rows] = girdle_of(section, size, rise, round_=body.round)
    for strand, span in zip(many.strands, spans_of(counts), strict=True):
        if _may_stretch(strand):
            size, back = at_rows(sizes, span), strand.path.frames(station[span])[2]
            area[span] *= _stretched(strand, station[span], size, back)
    return area, skin


def girdle(body: Body, station: Array) -> Array:
    """Surface per length of path, mm2 / mm, at each station."""
    return girdle_of(body.section, body.sizes(station), body.rises(station), round_=body.round)


def girdle_of(section: Section, sizes: Sizes, rises: Sizes, *, round_: bool = False) -> Array:
    """The same of sections of these `sizes` that grow by `rises` along the path; `round_`: all of them circles."""
    if round_:
        return np.asarray(2 * np.pi * sizes[0] * np.sqrt(1 + rises[0] * rises[0]))
    if section.elliptic:
        (a, b, c), (rise_a, rise_b, rise_c) = sizes, rises
        upper = _half_girdle(a, rise_a, b, rise_b)
        # One outline stands for back and belly where they are equal.
        return upper + (upper if c is b and rise_c is rise_b else _half_girdle(a, rise_a, c, rise_c))
    # Of any other section from a polygon and the same polygon a little way on.
    here = section.rim(*sizes, POLYGON)
    a, b, c = (size + AHEAD * rise for size, rise in zip(sizes, rises, strict=True))
    there = section.rim(a, b, c, POLYGON)
    y, z = (np.diff(part, axis=1, append=part[:, :1]) for part in here)
    outward, upward = ((b - a + np.roll(b - a, -1, axis=1)) / (2 * AHEAD) for a, b in zip(here, there, strict=True))
    along = y * upward - z * outward
    return np.asarray(np.sqrt(y * y + z * z + along * along).sum(axis=1))


POLYGON, AHEAD = 64, 1e-4
"""Corners of the polygon that stands for a section's rim, and how far on the next one is taken, mm."""


def _half_girdle(a: Array, rise_a: Array, b: Array, rise_b: Array) -> Array:
    """Of half an ellipse: |dP/dx x dP/dphi| of P = (x, a cos phi, b sin phi), over a quarter and twice.

    Along the path a b (cos^2 phi a' / a + sin^2 phi b' / b), around it a sin phi and b cos phi. Written over the same
    few arrays again and again: it is the largest of an estimate.
    """
    along = (_COSINE * _COSINE) * rise_a
    along /= np.maximum(a, 1e-12)
    upward = (_SINE * _SINE) * rise_b
    upward /= np.maximum(b, 1e-12)
    along += upward
    along *= a * b
    along *= along
    around = a * _SINE
    around *= around
    upright = np.multiply(b, _COSINE, out=upward)
    upright *= upright
    around += upright
    around += along
    np.sqrt(around, out=around)
    around *= _WEIGHTS[:, None]
    return np.asarray(np.pi / 2 * around.sum(axis=0))


def walls(body: Body) -> Array:
    """Area, mm2, of the upright step at each of the body's ends of pieces; mostly none."""
    ends = body.ends
    before = body.section.area(*body.beside(ends, later=False))
    after = body.section.area(*body.beside(ends, later=True))
    before[0] = after[-1] = 0.0
    return np.asarray(np.abs(before - after))
