"""The ends that a bait can lose, and what it is held by, as cells of a grid."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.measures.hook.along import place_along, trunk_length
from worker.measures.hook.rig import Rig
from worker.measures.solid.grid import Flags, Grid
from worker.measures.solid.tear_section import TRUNK_ENDS
from worker.measures.solid.vectors3 import along
from worker.measures.strand.notch import BLUNTING_MM
from worker.strands.attach import nearly_outside
from worker.strands.path import HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand

NO_LOSS = 0.3
"""Losing less than this share of a strand is no loss (judgement)."""
TAPERS_FROM = 0.35
"""Of a strand that only tapers what lies beyond this share of its length (judgement)."""
EVEN = 0.99
"""Sections from this share of the greatest up are as great."""
TAIL_FROM = 0.85
"""The tail is what lies beyond this share of the trunk's length (judgement)."""
HELD_FROM, HELD_TO = 0.2, 0.45
"""Without a rig a bait is held along its centre line between these shares of the trunk's length (judgement)."""
HELD_WITHIN_MM = 2.0
"""Solid so near to the hook's path, or to the centre line, is held (judgement)."""
HELD_NOSES = ("jig_head", "nose")
"""Rigs whose hook or head sits in the nose itself: nothing ahead of it can be lost."""
NOSE, TAIL_END = TRUNK_ENDS
STATIONS = 256
"""Places along a strand at which its section is looked at."""


@dataclass(frozen=True)
class Holding:
    """What of a bait the cuts need to know: its strands, where its nose is held, mm from the nose, and its rig.

    `blunting`: by how much notches count as rounder, mm.
    """

    trunk: tuple[Strand, ...]
    limbs: tuple[Strand, ...]
    hold: float
    rig: Rig | None
    blunting: float = BLUNTING_MM

    @property
    def extremities(self) -> Iterator[Extremity]:
        """Every end that can be lost, the nose first; of a pair of strands that are alike the first has the second."""
        if self.rig is None or self.rig.kind not in HELD_NOSES:
            yield Extremity(NOSE, "trunk", None)
        yield Extremity(TAIL_END, "trunk", None)
        handed = {id(limb.path.of): limb.name for limb in self.limbs if isinstance(limb.path, HandedPath)}
        for limb in self.limbs:
            yield Extremity(limb.name, limb.kind, limb, handed.get(id(limb.path)))


@dataclass(frozen=True)
class Extremity:
    """One end: `nose`, `tail_end` or the limb's name; `twin` is the same limb on the other side of the bait."""

    name: str
    kind: str
    limb: Strand | None
    twin: str | None = None


class Cells:
    """Which strand each filled cell of a grid lies in, and where along it; looked up once a strand."""

    def __init__(self, grid: Grid, holding: Holding) -> None:
        self.grid, self.holding = grid, holding
        self._known: dict[str, tuple[Flags, Array]] = {}

    def ends_of(self, extremity: Extremity) -> Flags:
        """The cells (n,) that the cut has to lose; none of a strand that all but lies within others."""
        limb = extremity.limb
        if limb is None:
            at = self._trunk_station
            length = trunk_length(self.holding.trunk)
            in_trunk = self._in_any(self.holding.trunk)
            return in_trunk & (at < self.holding.hold if extremity.name == NOSE else at > TAIL_FROM * length)
        inside, station = self._of(limb)
        own = inside & self.own(limb)
        return own & (station > loss_from(limb)) & (int(own.sum()) >= NO_LOSS * int(inside.sum()))

    def own(self, limb: Strand) -> Flags:
        """The cells (n,) of a strand and of all that grows out of it, and of no other."""
        names = self._with_children(limb)
        mine = [each for each in self.holding.limbs if each.name in names]
        others = [each for each in (*self.holding.trunk, *self.holding.limbs) if each.name not in names]
        return self._in_any(mine) & ~self._in_any(others)

    @property
    def held(self) -> Flags:
        """The cells (n,) of the trunk near the hook's path, or without a rig near the middle of its front half.

        Where the trunk is hollow there, those that are up to 2 mm further off than the nearest.
        """
        trunk, rig = self.holding.trunk, self.holding.rig
        in_trunk = self._in_any(trunk)
        away = np.full(len(in_trunk), np.inf)
        for begin, end in held_lines(trunk, rig):
            away = np.minimum(away, _distance(self.grid.middles, begin, end))
        nearest = float(away[in_trunk].min(initial=np.inf))
        return in_trunk & (away <= (0.0 if nearest <= HELD_WITHIN_MM else nearest) + HELD_WITHIN_MM)

    @property
    def _trunk_station(self) -> Array:
        trunk = self.holding.trunk
        if len(trunk) == 1:
            return trunk[0].path.beside(self.grid.middles).station
        return self.grid.middles[:, 0]

    def _in_any(self, strands: Sequence[Strand]) -> Flags:
        inside = np.zeros(len(self.grid.cells), dtype=bool)
        for strand in strands:
            inside |= self._of(strand)[0]
        return inside

    def _of(self, strand: Strand) -> tuple[Flags, Array]:
        if strand.name not in self._known:
            middles = self.grid.middles
            inside = np.zeros(len(middles), dtype=bool)
            station = np.zeros(len(middles))
            points = strand.path.frames(_stations(strand))[0]
            reach = max(float(size.max()) for size in strand.body.sizes(_stations(strand)))
            low, high = points.min(axis=0) - reach, points.max(axis=0) + reach
            near = np.flatnonzero(((middles > low) & (middles < high)).all(axis=1))
            if len(near):
                inside[near] = nearly_outside(strand, middles[near], relief=True) < 0
                station[near] = strand.path.beside(middles[near]).station
            self._known[strand.name] = inside, station
        return self._known[strand.name]

    def _with_children(self, limb: Strand) -> set[str]:
        """The names of a limb and of all that grows out of it."""
        names = {limb.name}
        for _ in self.holding.limbs:
            more = {each.name for each in self.holding.limbs if each.root is not None and each.root.parent in names}
            if more <= names:
                break
            names |= more
        return names


def _stations(strand: Strand) -> Array:
    return strand.path.length * (np.arange(STATIONS) + 0.5) / STATIONS


def loss_from(limb: Strand) -> float:
    """Station, mm, beyond which a strand is what its cut has to lose.

    Beyond its greatest section, or beyond 35 % of what shows of it if it only tapers; in any case the last 30 %.
    """
    begin = 0.0 if limb.root is None else min(limb.root.leaves + limb.root.blend, 0.9 * limb.path.length)
    step = (limb.path.length - begin) / STATIONS
    station = np.asarray(begin + step * (np.arange(STATIONS) + 0.5), dtype=np.float64)
    area = limb.body.area(station)
    # A strand of one thickness is greatest where it begins.
    greatest = int(np.flatnonzero(area >= EVEN * float(area.max()))[0])
    tapers = greatest < STATIONS / 20 and float(area[int(TAPERS_FROM * STATIONS)]) < EVEN * float(area.max())
    first = TAPERS_FROM * STATIONS if tapers else greatest
    beyond = np.cumsum(area[::-1])[::-1]
    last = int(np.flatnonzero(beyond >= NO_LOSS * beyond[0])[-1])
    return begin + step * min(first, last)


def held_lines(trunk: tuple[Strand, ...], rig: Rig | None) -> Iterator[tuple[Array, Array]]:
    """Pieces of the line, begin and end (3,) mm, along which a bait is held."""
    length = trunk_length(trunk)
    if rig is None:
        share = HELD_FROM + (HELD_TO - HELD_FROM) * np.arange(17) / 16
        yield from _along(trunk, (share * length).tolist())
        return
    centre, back = place_along(trunk, rig.station)
    high = sum(strand.body.greatest_height for strand in trunk)
    if rig.kind == "jig_head":
        yield from _along(trunk, (rig.station * np.arange(17) / 16).tolist())
        yield centre, centre + high * back
    else:
        yield centre - high * back, centre + high * back


def _along(trunk: tuple[Strand, ...], stations: Sequence[float]) -> Iterator[tuple[Array, Array]]:
    places = [place_along(trunk, station)[0] for station in stations]
    yield from itertools.pairwise(places)


def _distance(points: Array, begin: Array, end: Array) -> Array:
    way = end - begin
    share = np.clip(along(points - begin, way) / max(float((way * way).sum()), 1e-12), 0.0, 1.0)
    away = points - begin - share[:, None] * way
    return np.asarray(np.sqrt((away * away).sum(axis=1)))
