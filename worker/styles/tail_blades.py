"""Tails of one strand that run straight back or wave: straight, spike, beaver, ribbon.

Every builder takes explicit measures, in mm, so that a style may use it with its own. It starts `depth` mm ahead of its
place, inside of what it grows out of, and is `length` mm long from the place on. A blade is as wide as it is to the
left of its place, and thin to the back.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.roots import Array
from worker.strands.strand import Strand, StrandKind
from worker.styles.placing import Place

Share = TypeVar("Share", float, Array)
Stations = tuple[tuple[float, float], ...]

BEAVER: Stations = ((0.16, 0.0), (0.40, 0.72), (0.66, 1.0), (0.88, 0.86), (1.0, 0.62))
RIBBON: Stations = ((0.05, 0.0), (0.22, 0.80), (0.40, 1.0), (0.75, 0.86), (1.0, 0.55))
"""Shares of the length with the way from the wrist's width (0) to the blade's (1) there (judgement)."""
BEAVER_END, RIBBON_END = 0.34, 0.3
"""Length of the rounded tip over the blade's width (judgement)."""
WAVE = 0.2
"""How far a ribbon waves to each side, over half a wave's length (judgement)."""
WAVE_LENGTH = 1.0
"""Half a wave's length over a ribbon's width (judgement)."""
CONE_ROOT = 0.2
"""How deep a cone's root lies inside at most, over its length (judgement)."""
MOST_WAVES = 8
"""Half waves of the longest ribbon (judgement)."""


@dataclass(frozen=True)
class Blade:
    """A flat strand's measures, mm: wide, its wrist, and thick at root and tip."""

    length: float
    width: float
    wrist: float
    root_thickness: float
    tip_thickness: float

    def thickness(self, share: Share) -> Share:
        """At a share of the way from root to tip, or at several."""
        return self.root_thickness + share * (self.tip_thickness - self.root_thickness)

    def girth(self, shape: Iterable[tuple[float, float]], depth: float) -> Girth:
        """Sections along a path of `depth` + `length` mm: the wrist's width up to the root, then the shape's."""
        whole = depth + self.length
        stations = [(0.0, self.wrist, self.root_thickness)]
        if depth > 0:
            stations.append((depth / whole, self.wrist, self.root_thickness))
        for share, wide in shape:
            width = self.wrist + wide * (self.width - self.wrist)
            stations.append(((depth + share * self.length) / whole, width, self.thickness(share)))
        return Girth.oval(*stations)

    def end(self, share: float) -> float:
        """Length of a rounded tip that is `share` of the width long, within the length."""
        return min(share * self.width, 0.4 * self.length)


def straight_path(place: Place, depth: float, length: float) -> StraightPath:
    """From `depth` mm ahead of a place to `length` mm behind it, to the left as the place has it."""
    return StraightPath(depth + length, place.at(-depth), place.ahead, place.left)


def rod(
    name: str, place: Place, depth: float, length: float, begin: float, end: float, kind: StrandKind = "tail"
) -> Strand:
    """A round tail, `begin` mm thick where it leaves and `end` mm at its tip: a rod where equal, else a cone."""
    # A cone goes on widening inside of what it grows out of: it begins no deeper than that it stays slender.
    depth = min(depth, CONE_ROOT * length)
    root = begin + (begin - end) * depth / length
    path = straight_path(place, depth, length)
    return Strand(name, kind, path, Girth.circular((0.0, root), (1.0, end)), Plain((0.0, min(end / 2, 0.4 * length))))


def beaver(name: str, place: Place, depth: float, blade: Blade, kind: StrandKind = "tail") -> Strand:
    """A broad flat oval on a narrower wrist."""
    path = straight_path(place, depth, blade.length)
    return Strand(name, kind, path, blade.girth(BEAVER, depth), Plain((0.0, blade.end(BEAVER_END))))


def ribbon(
    name: str, place: Place, depth: float, blade: Blade, kind: StrandKind = "tail", first: float = 1.0
) -> Strand:
    """A thin band that waves across its flat side; `first` is 1 where its first wave is to the back, else -1."""
    halves = math.floor(blade.length / max(WAVE_LENGTH * blade.width, 4 * blade.root_thickness))
    knots = _waves(place, blade.length, min(max(halves, 1), MOST_WAVES), first)
    if depth > 0:
        knots = (Knot(place.at(-depth), place.ahead, 0.0, depth), replace(knots[0], before=depth), *knots[1:])
    path = HermitePath(knots, place.left)
    girth = blade.girth(RIBBON, path.length - blade.length)
    return Strand(name, kind, path, girth, Plain((0.0, blade.end(RIBBON_END))))


def _waves(place: Place, length: float, halves: int, first: float) -> tuple[Knot, ...]:
    """Knots at the root, at the crests and troughs, and at the tip: a curve `length` mm long.

    A curve's shape is free of its size, so one measured curve gives the size of the wanted one.
    """

    def knots(half: float) -> tuple[Knot, ...]:
        made = [Knot(place.origin, place.ahead, 0.0, half / 2)]
        for number in range(halves):
            out = first * WAVE * half * (1 if number % 2 == 0 else -1)
            before = half / 2 if number == 0 else half
            after = half / 2 if number == halves - 1 else half
            made.append(Knot(place.at((number + 0.5) * half, 0.0, out), place.ahead, before, after))
        made.append(Knot(place.at(halves * half), place.ahead, half / 2, 0.0))
        return tuple(made)

    return knots(length / HermitePath(knots(1.0), place.left).length)
