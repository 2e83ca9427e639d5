"""Sizes and frames of many strands at once: a limb has few stations, and NumPy's calls cost more than their work.

Every figure is the one that the strand itself gives, to the last bit: what pieces and steps are made of is laid end to
end, and each station is looked up among its own strand's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from worker.strands.body import Body
from worker.strands.hermite import HermitePath
from worker.strands.many_outlines import ManyOutlines
from worker.strands.outline import Outline
from worker.strands.path import OTHER_SIDE, HandedPath, Path
from worker.strands.roots import Array
from worker.strands.section import Section
from worker.strands.steps import Steps
from worker.strands.strand import Strand

Sizes = tuple[Array, Array, Array]
Frames = tuple[Array, Array, Array]


@dataclass(frozen=True)
class Many:
    """Strands whose stations are given end to end: `counts` of them for each, in the strands' order."""

    strands: tuple[Strand, ...]

    def sizes(self, station: Array, counts: Sequence[int]) -> Sizes:
        """See Body: half-width and reach to back and belly, mm, each (n,)."""
        return self._of_outlines(lambda outlines: outlines.height(station, counts))

    def rises(self, station: Array, counts: Sequence[int]) -> Sizes:
        """See Body: their slopes along the path."""
        return self._of_outlines(lambda outlines: outlines.rise(station, counts))

    def _of_outlines(self, asked: Callable[[ManyOutlines], Array]) -> Sizes:
        side, back, belly = self._outlines
        width = asked(side)
        upward = width if back is side else asked(back)
        return width, upward, upward if belly is back else asked(belly)

    @cached_property
    def _outlines(self) -> tuple[ManyOutlines, ManyOutlines, ManyOutlines]:
        bodies = [strand.body for strand in self.strands]
        sides = ManyOutlines(tuple(body.side for body in bodies))
        backs, lowers = tuple(body.back for body in bodies), tuple(body.lower for body in bodies)
        back = sides if _same(backs, sides.outlines) else ManyOutlines(backs)
        return sides, back, back if _same(lowers, backs) else ManyOutlines(lowers)

    def frames(self, station: Array, counts: Sequence[int]) -> Frames:
        """See Path: points, directions to the left and to the back, each (n, 3)."""
        points, left, back = frames_of(self._paths, station, counts, self._curves)
        for strand, span in zip(self.strands, spans_of(counts), strict=True):
            if isinstance(strand.path, HandedPath):
                points[span], left[span] = points[span] * OTHER_SIDE, -left[span] * OTHER_SIDE
                back[span] = back[span] * OTHER_SIDE
        return points, left, back

    @cached_property
    def _paths(self) -> tuple[Path, ...]:
        """The strands' paths, of handed ones their counterparts'."""
        return tuple(s.path.of if isinstance(s.path, HandedPath) else s.path for s in self.strands)

    @cached_property
    def _curves(self) -> ManyCurves:
        return curves_among(self._paths)

    def alike(self, counts: Sequence[int]) -> list[tuple[Section, Body, NDArray[np.int64] | slice]]:
        """Stations' rows, put together of strands whose sections are of one kind: the section, a body, the rows."""
        if len(self._alike) == 1:
            return [(self.strands[0].section, self.strands[0].body, slice(None))]
        return [
            (self.strands[numbers[0]].section, self.strands[numbers[0]].body, rows_of(counts, numbers))
            for numbers in self._alike
        ]

    @cached_property
    def _alike(self) -> list[list[int]]:
        """Numbers of the strands that have one section, and whose bodies are round and even alike."""
        found: dict[tuple[Section, bool, bool], list[int]] = {}
        for number, strand in enumerate(self.strands):
            found.setdefault((strand.section, strand.body.round, strand.body.even), []).append(number)
        return list(found.values())


def rows_of(counts: Sequence[int], numbers: Sequence[int]) -> NDArray[np.int64]:
    """Rows of those that have these numbers."""
    spans = spans_of(counts)
    return np.concatenate([np.arange(spans[number].start, spans[number].stop) for number in numbers])


def at_rows(parts: Sizes, rows: slice | NDArray[np.int64]) -> Sizes:
    """Those rows of all three parts of sizes or frames."""
    one, two, three = parts
    return one[rows], two[rows], three[rows]


def spans_of(counts: Sequence[int]) -> list[slice]:
    """Where each of so many lies, end to end."""
    ends = np.cumsum([0, *counts]).tolist()
    return [slice(begin, end) for begin, end in pairwise(ends)]


def _same(some: Sequence[Outline], others: Sequence[Outline]) -> bool:
    return all(one is other for one, other in zip(some, others, strict=True))


@dataclass(frozen=True)
class ManyCurves:
    """Curved paths whose stations are given end to end, `counts` of them for each: frames as each path tells them."""

    paths: tuple[HermitePath, ...]

    def frames(self, station: Array, counts: Sequence[int]) -> tuple[Array, Array, Array]:
        """See Path."""
        step, begin, first = np.empty(len(station), dtype=np.int64), 0, 0
        for path, count in zip(self.paths, counts, strict=True):
            span = slice(begin, begin + count)
            step[span] = path.step_at(station[span])
            step[span] += first
            begin, first = begin + count, first + path.steps.shape[1]
        return self._all.frames_at(step, station)

    @cached_property
    def _all(self) -> Steps:
        every = [path.frames_of_steps for path in self.paths]
        firsts = np.cumsum([0, *(len(each.cubics) for each in every[:-1])])
        return Steps(
            np.concatenate([each.steps for each in every], axis=1),
            np.concatenate([each.curve + first for each, first in zip(every, firsts, strict=True)]),
            np.concatenate([each.cubics for each in every]),
            *(np.concatenate([getattr(each, name) for each in every]) for name in ("points", "tangents", "lefts")),
        )


def curves_among(paths: Sequence[Path]) -> ManyCurves:
    """Those of the paths that are curved."""
    return ManyCurves(tuple(path for path in paths if isinstance(path, HermitePath)))


def frames_of(paths: Sequence[Path], station: Array, counts: Sequence[int], curves: ManyCurves | None = None) -> Frames:
    """Frames of paths whose stations are given end to end, `counts` of them for each; `curves` are those among them."""
    curves = curves or curves_among(paths)
    if len(curves.paths) == len(paths):
        return curves.frames(station, counts)
    spans = spans_of(counts)
    points, left, back = (np.empty((len(station), 3)) for _ in range(3))
    every = points, left, back
    curved = [number for number, path in enumerate(paths) if isinstance(path, HermitePath)]
    if curved:
        rows = rows_of(counts, curved)
        found = curves.frames(station[rows], [counts[number] for number in curved])
        for part, values in zip(every, found, strict=True):
            part[rows] = values
    for number, path in enumerate(paths):
        if not isinstance(path, HermitePath):
            for part, values in zip(every, path.frames(station[spans[number]]), strict=True):
                part[spans[number]] = values
    return every
