"""How much a flare adds to a bait, by arithmetic, from how the parent's surface falls away around the root.

In the plane through the strand's path and one of its sides, the ball rests between the strand and the parent's surface,
an arc there. Strand and chord of the arc meet at an angle b; a ball of radius r leaves r^2 (cot(b / 2) - (pi - b) / 2)
between the two and itself, of which the arc takes off the segment over its chord. That area, carried around the root by
its centroid, is the volume (Pappus). Solids have the ball's own surface (flare.py), which this is within a sixth of.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.measures.strand.flare_balls import balls_of
from worker.measures.strand.places import places_in
from worker.strands.flare import LEAST_BALL, ROOM, SMALLER, largest_ball
from worker.strands.grooves import deepest
from worker.strands.many import Many, at_rows
from worker.strands.path import OTHER_SIDE
from worker.strands.plain import Plain
from worker.strands.roots import Array
from worker.strands.strand import Root, Strand, root_of
from worker.strands.vectors import cross

SIDES = 16
"""Places around the root at which the ball is rested."""
FAR = 0.5
"""Lean over its parent, tangent of the angle from upright, from which on a limb leans far: 27 degrees. Where only those
beyond 45 counted, five pairs of legs at 40 to 44 degrees made a bait 2 % too large."""
UNMET = 1.49
"""Drop over reach from which on the parent's surface was not met (attach.py looks for it no deeper than 1.5)."""
CENTROID = 0.2234
"""How far the centroid lies from the corner, over the chord: of the area between a square corner and a quarter circle,
(10 - 3 pi) / (12 - 3 pi)."""


@dataclass(frozen=True)
class FlareParts:
    """A flare by the sides that it was looked at from: `volume` of each, mm3 (n,), about `place`, (n, 3)."""

    volume: Array
    place: Array

    def handed(self) -> FlareParts:
        """The same on the bait's other side."""
        return FlareParts(self.volume, self.place * OTHER_SIDE)


_NONE = FlareParts(np.zeros(0), np.zeros((0, 3)))


def flare_volume(limb: Strand) -> float:
    """Volume, mm3, of the flare at the limb's root outside of limb and parent."""
    return float(flares_of([limb])[0].volume.sum())


def flares_of(limbs: Sequence[Strand], worth: float = 0.0, much: float = np.inf) -> list[FlareParts]:
    """The flare at each limb's root outside of limb and parent, by its sides; none without a root or a blend.

    Where the solid's own ball gives way by how its arcs lie to each other, no arithmetic of sides tells it: under a
    limb that leans far, and under one so thick that its parent is not met beside it. Of flares there of more than
    `worth` mm3 each the solid's own balls are asked (flare_balls.py), which takes ten times as long. So they are of
    every limb where all flares are more than `much` mm3: under thin limbs a thick ball gives way too, on a parent that
    is round or ribbed, and then a fifth of them or more is not there.
    """
    balls = [0.0 if limb.root is None else largest_ball(limb.root) for limb in limbs]
    flares = _rolling(limbs, balls)
    every = sum(float(flare.volume.sum()) for flare in flares) > much
    unsure = [
        number
        for number, (limb, flare) in enumerate(zip(limbs, flares, strict=True))
        if limb.root is not None and (every or _gives_way(limb.root)) and _might_be(limb, limb.root, flare) > worth
    ]
    if unsure:
        asked = [limbs[number] for number in unsure]
        for number, flare in zip(unsure, _rolling(asked, balls_of(asked), fits=True), strict=True):
            flares[number] = flare
    return flares


def _might_be(limb: Strand, root: Root, flare: FlareParts) -> float:
    """Volume, mm3, of a flare; of none, that of the largest ball if it fits after all."""
    told = flare if len(flare.volume) else _rolling([limb], [largest_ball(root)], fits=True)[0]
    return float(told.volume.sum())


def _gives_way(root: Root) -> bool:
    left, back = _surface(root)[0]
    beside = max(drop / reach for drop, reach in zip(root.drops, root.reach, strict=True)) > UNMET
    return beside or left * left + back * back > FAR * FAR


def _rolling(limbs: Sequence[Strand], balls: Sequence[float], *, fits: bool = False) -> list[FlareParts]:
    """Balls of at most these radii: one that does not fit gives way to a smaller one, as in flare.py.

    Its foot lies ahead of the limb's beginning, and its touching point well before the tip. Of the solid's own ball,
    which `fits`, that is known: two fins that leaned far had none by the circles that stand for their parent's surface.
    """
    radius, flares = list(balls), [_NONE] * len(limbs)
    left = [number for number in range(len(limbs)) if radius[number] >= LEAST_BALL]
    while left:
        rooted = [(limbs[number], root_of(limbs[number])) for number in left]
        every = _resting(rooted, np.array([radius[number] for number in left]))
        for number, (limb, root), rested in zip(left, rooted, every, strict=True):
            if rested is not None:
                parts, lowest, highest = rested
                beyond = ROOM * (limb.path.length - root.leaves)
                if fits or (root.leaves + lowest > 0 and highest < beyond):
                    flares[number], radius[number] = parts, 0.0
            radius[number] *= SMALLER
        left = [number for number in left if radius[number] >= LEAST_BALL]
    return flares


def _resting(rooted: Sequence[tuple[Strand, Root]], radii: Array) -> list[tuple[FlareParts, float, float] | None]:
    """Of each limb the parts, and the ball's lowest foot and highest touching point along it from where it leaves.

    None over a groove that is too deep for a flare: a smaller ball may rest beside it.
    """
    many, count = Many(tuple(limb for limb, _ in rooted)), len(rooted)
    counts, leaves, radius = [1] * count, np.array([root.leaves for _, root in rooted]), radii[:, None]
    sizes = many.sizes(leaves, counts)
    left, up = np.empty((count, SIDES)), np.empty((count, SIDES))
    for section, _, rows in many.alike(counts):
        left[rows], up[rows] = section.rim(*at_rows(sizes, rows), SIDES)
    out_left, out_up = up[:, _NEXT] - up[:, _BEFORE], left[:, _BEFORE] - left[:, _NEXT]
    # Where corners of a cut section fall together there is no way out, and no rim either.
    size = np.maximum(np.sqrt(out_left * out_left + out_up * out_up), 1e-12)
    out_left, out_up = out_left / size, out_up / size
    (tilt_left, tilt_up), (bend_left, bend_up) = np.array([_surface(root) for _, root in rooted]).transpose(1, 2, 0)
    tilt = out_left * tilt_left[:, None] + out_up * tilt_up[:, None]
    bend = out_left * out_left * bend_left[:, None] + out_up * out_up * bend_up[:, None]
    begin = left * out_left + up * out_up
    end = begin + radius
    for _ in range(3):
        slope = tilt + (_fall(bend, end) - _fall(bend, begin)) / (end - begin)
        over = np.sqrt(1 + slope * slope)
        end = begin + radius * np.maximum(1 - slope / over, 0.05)
    chord = (end - begin) * over
    half_tangent = (1 - slope / over) * over  # cot(b / 2) of cos b = -slope / over, sin b = 1 / over
    turn = np.pi / 2 - np.arctan2(slope, 1.0)
    area = np.maximum(radius * radius * (half_tangent - turn / 2) - bend * chord * chord * chord / 12, 0.0)
    aside = CENTROID * (end - begin)
    middle_left, middle_up = left + aside * out_left, up + aside * out_up
    frames = many.frames(leaves, counts)
    foot = _placed(frames, left + (end - begin) * out_left, up + (end - begin) * out_up, -tilt * end - _fall(bend, end))
    grooves = np.stack([_groove(root.on, each) for (_, root), each in zip(rooted, foot, strict=True)])
    along = [part[:, _NEXT] - part for part in (middle_left, middle_up)]
    step = np.sqrt(along[0] * along[0] + along[1] * along[1])
    filled = (end - begin) * np.minimum(grooves, 2 * radius)
    volume = (area + filled) * (step + step[:, _BEFORE]) / 2
    lowest = -(tilt * end + _fall(bend, end)).max(axis=1)
    highest = (radius * half_tangent - tilt * begin - _fall(bend, begin)).max(axis=1)
    above = CENTROID * radius * half_tangent - tilt * (begin + aside) - _fall(bend, begin + aside)
    place = _placed(frames, middle_left, middle_up, above)
    hangs = [deepest(root.on, each) == np.inf for (_, root), each in zip(rooted, foot, strict=True)]
    return [
        None if over_groove else (FlareParts(own, at), float(low), float(high))
        for over_groove, own, at, low, high in zip(hangs, volume, place, lowest, highest, strict=True)
    ]


_NEXT, _BEFORE = np.roll(np.arange(SIDES), -1), np.roll(np.arange(SIDES), 1)


def _placed(frames: tuple[Array, Array, Array], left: Array, back: Array, ahead: Array) -> Array:
    """Places (n, m, 3) to the left, to the back and ahead, (n, m), of n frames."""
    beside = places_in(frames, left, back).reshape(*left.shape, 3)
    return np.asarray(beside + ahead[:, :, None] * cross(*frames[1:])[:, None, :])


def _groove(parent: Strand, foot: Array) -> Array:
    """How deep below each foot the floor of the parent's relief lies, mm: down to it the flare fills a groove."""
    if isinstance(parent.relief, Plain):
        return np.zeros(len(foot))
    at = parent.path.beside(foot)
    aside, above, below = (
        np.maximum(top - floor, 0.0)
        for top, floor in zip(parent.smooth.sizes(at.station), parent.body.sizes(at.station), strict=True)
    )
    share = at.left * at.left / np.maximum(at.left * at.left + at.back * at.back, 1e-12)
    return np.asarray(share * aside + (1 - share) * np.where(at.back > 0, above, below))


def _surface(root: Root) -> tuple[tuple[float, float], tuple[float, float]]:
    """Slope and curvature of the parent's surface under the path, to the left and to the back; 1 and 1/mm."""
    (left, right, back, belly), (a, b, c, d) = root.reach, root.drops
    side, height = (left + right) / 2, (back + belly) / 2
    tilts = (a - b) / (left + right), (c - d) / (back + belly)
    return tilts, (_bend(side, (a + b) / 2), _bend(height, (c + d) / 2))


def _bend(reach: float, drop: float) -> float:
    """Curvature of the circle that falls by `drop` at `reach` to the side; a hollow surface counts as a plane."""
    drop = min(max(drop, 0.0), 1.5 * reach)
    return 2 * drop / (reach * reach + drop * drop) if drop <= reach else 2 / reach


def _fall(bend: Array, at: Array) -> Array:
    """How far a circle of curvature `bend` has fallen at `at` to the side; straight down where it is past its side."""
    share = np.minimum(bend * at, 0.98)
    return np.asarray(bend * at * at / (1 + np.sqrt(1 - share * share)))
