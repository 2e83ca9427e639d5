"""Silhouettes of strands from above and from the side, from their sections: no mesh and no union."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from worker.drawing.flare_edges import flare_loop
from worker.drawing.planes import Box, View, flat
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.strands.vectors import cross

Flags = NDArray[np.bool_]

LEAST = 24
"""Stations along a strand at the least."""
AROUND = 20
"""Corners of a section that is drawn for itself."""
END_ON = 0.35
"""Below this length of the path's unit tangent in the plane of the view a section shows its face."""
ASLANT = 0.99
"""Below this length the sections at a free end show theirs."""
ENDS = (0, 2, 5, 8)
"""Which sections from the end on."""
_WALL = 2e-6
"""Half the distance, mm, of the two stations that stand for an upright face."""


@dataclass(frozen=True)
class Outlined:
    """A strand in one view: closed `loops`, (n, 2) in mm, all turning the same way; together they cover it.

    `depth` grows towards the eye, mm; the strand reaches `thick` mm nearer.
    """

    name: str
    loops: tuple[Array, ...]
    depth: float
    thick: float

    @property
    def box(self) -> Box:
        """The box around it."""
        low = np.min([loop.min(axis=0) for loop in self.loops], axis=0)
        high = np.max([loop.max(axis=0) for loop in self.loops], axis=0)
        return float(low[0]), float(high[0]), float(low[1]), float(high[1])


@dataclass(frozen=True)
class _Looks:
    """Sections along one connected stretch: points, unit vectors and reaches to the left, the back and the belly.

    A `rooted` one begins inside of another strand.
    """

    points: Array
    left: Array
    back: Array
    half_width: Array
    upward: Array
    downward: Array
    rooted: bool


def outlined(
    strand: Strand, view: View, sag: float, window: Box | None = None, *, flared: bool = False
) -> Outlined | None:
    """A strand in a view, its curves true to `sag` mm; None where nothing of it lies in the window.

    Its root is drawn `flared` where that is asked for: it takes as long as all the rest.
    """
    loops: list[Array] = []
    depth = thick = 0.0
    for looks in _looks_along(strand, round(sag, 4)):
        depth = float(looks.points[:, 2].mean()) if view == "top" else -float(looks.points[:, 1].mean())
        thick = float((looks.upward if view == "top" else looks.half_width).max())
        loops += _loops(looks, view, window)
    flare = flare_loop(strand, view) if loops and flared and strand.limb else None
    if flare is not None:
        loops.append(flare)
    return Outlined(strand.name, tuple(loops), depth, thick) if loops else None


@lru_cache(maxsize=256)  # both views, and every strand that a change of parameter leaves alone
def _looks_along(strand: Strand, sag: float) -> tuple[_Looks, ...]:
    return tuple(_stretches(strand, sag))


def _stretches(strand: Strand, sag: float) -> Iterator[_Looks]:
    body, path = strand.body, strand.path
    marks = [each.stations(sag) for each in body.outlines]
    for begin, end in body.runs:
        inside = np.concatenate([*marks, begin + (end - begin) * np.arange(LEAST + 1) / LEAST])
        inside = np.unique(inside[(inside > begin) & (inside < end)])
        widest = max(float(size.max()) for size in body.sizes(inside))
        station = path.subdivided(np.concatenate([[begin], inside, [end]]), sag, widest)
        faces = body.ends[(body.ends > begin) & (body.ends < end)]
        station = np.unique(np.concatenate([station, faces - _WALL, faces + _WALL]))
        station = np.concatenate([[begin + _WALL], station[(station > begin) & (station < end)], [end - _WALL]])
        half_width, back, belly = body.sizes(station)
        yield _Looks(*path.frames(station), half_width, back, body.section.below(belly), strand.limb)


def _loops(looks: _Looks, view: View, window: Box | None) -> Iterator[Array]:
    """The band between both edges, and the sections that show a face: at its ends, and where the path turns to the eye.

    The edge lies where a section reaches furthest square to the path: for an ellipse of half-axes a, b along l, k at
    (a a (n l) l + b b (n k) k) / sqrt((a n l)^2 + (b n k)^2) from its middle, n being that direction. A squarer section
    is drawn as an ellipse too, which is as wide and as high, and leaves out its shoulders where it is seen aslant.
    """
    tangent = flat(cross(looks.left, looks.back), view)
    length = np.sqrt(tangent[:, 0] ** 2 + tangent[:, 1] ** 2)
    across = np.stack([tangent[:, 1], -tangent[:, 0]], axis=1) / np.maximum(length, 1e-9)[:, None]
    middle, left, back = (flat(each, view) for each in (looks.points, looks.left, looks.back))
    edges = [middle + _reach(looks, left, back, sign * across) for sign in (1.0, -1.0)]
    near = _near(middle, looks, window)
    showing = length < END_ON
    # A rounded end that is seen aslant reaches beyond its path's end with sections that lie before it.
    last = len(length) - 1
    ends = [last - place for place in ENDS] + ([] if looks.rooted else list(ENDS))
    showing[ends] |= length[ends] < ASLANT
    showing &= near
    for first, last in _runs_of(near):
        if last - first > 1:
            part = slice(first, last)
            yield np.concatenate([edges[0][part], edges[1][part][::-1]])
    for place in np.flatnonzero(showing):
        yield _section(looks, middle, left, back, int(place))


def _reach(looks: _Looks, left: Array, back: Array, toward: Array) -> Array:
    along_left = left[:, 0] * toward[:, 0] + left[:, 1] * toward[:, 1]
    along_back = back[:, 0] * toward[:, 0] + back[:, 1] * toward[:, 1]
    half_height = np.where(along_back > 0, looks.upward, looks.downward)
    over_left, over_back = looks.half_width * along_left, half_height * along_back
    whole = np.maximum(np.sqrt(over_left * over_left + over_back * over_back), 1e-12)
    shares = (looks.half_width * over_left / whole)[:, None], (half_height * over_back / whole)[:, None]
    return np.asarray(shares[0] * left + shares[1] * back)


def _section(looks: _Looks, middle: Array, left: Array, back: Array, place: int) -> Array:
    turn = 2 * np.pi * np.arange(AROUND) / AROUND
    sine = np.sin(turn)
    height = np.where(sine > 0, looks.upward[place], looks.downward[place]) * sine
    loop = (
        middle[place] + (looks.half_width[place] * np.cos(turn))[:, None] * left[place] + height[:, None] * back[place]
    )
    forward, upright = left[place], back[place]
    # Bands turn clockwise on the page; a loop the other way round would cancel one that it lies over.
    return np.asarray(loop if forward[0] * upright[1] - forward[1] * upright[0] > 0 else loop[::-1])


def _near(middle: Array, looks: _Looks, window: Box | None) -> Flags:
    if window is None:
        return np.ones(len(middle), dtype=bool)
    reach = np.maximum(looks.half_width, np.maximum(looks.upward, looks.downward))
    across = (middle[:, 0] + reach >= window[0]) & (middle[:, 0] - reach <= window[1])
    down = (middle[:, 1] + reach >= window[2]) & (middle[:, 1] - reach <= window[3])
    near = across & down
    # One more section on each side, so that edges run out of the window and do not end at it.
    near[1:] |= (across & down)[:-1]
    near[:-1] |= (across & down)[1:]
    return np.asarray(near)


def _runs_of(flags: Flags) -> Iterator[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(np.int8)))
    return zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
