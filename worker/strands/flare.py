"""The flare of a strand into its parent: what a ball leaves that rolls around the root, touching both.

For every corner of the strand's rings the ball is rested where it touches the strand at that corner and the parent
anywhere. Between the two touching points its own arc is the surface; the arcs side by side are the round (a canal
surface) that a solid-modelling kernel makes of the edge where the two meet.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.strands.attach import nearly_outside
from worker.strands.flare_corners import corners_at
from worker.strands.folds import folded
from worker.strands.roots import Array
from worker.strands.strand import Root, Strand
from worker.strands.vectors import cross, dot, norm

LOOKS, CLOSER = 16, 8
"""Steps of the first look along the strand for where the ball rests, and of each closer one."""
REACH = 3.0
"""How far from where the path leaves its parent the ball is looked for, over the strand's and the ball's sizes."""
ROOM = 0.8
"""Up to which share of the strand outside of its parent the ball may touch it; half of the rest stays for its tip."""
ABOVE = 0.1
"""How far above the ball's highest touching point the strand has planar rings again, over the ball's radius."""
FOLD_STEPS = 8
"""Steps of the arcs that are looked at for folds."""
ASTRAY = 0.1
"""How far off the parent's surface a foot may be found, over the parent's reach that way."""
STEP = 1e-4
"""Step, mm, by which the direction of the parent's surface is told."""


@dataclass(frozen=True)
class Flare:
    """The ball of `radius` at rest, one row a corner of the rings. Shapes (n,) and (n, 3); mm.

    `station` is the strand's where the ball touches it; `touch` and `foot` are the touching points on the strand and on
    the parent. Where no ball rests the two are one: the strand enters its parent without a round. `lowest` is the
    strand's least station beside any of them. `on` is the parent.
    """

    on: Strand
    radius: float
    station: Array
    touch: Array
    centre: Array
    foot: Array
    lowest: float

    @property
    def turn(self) -> Array:
        """Angle, radians, of the ball's arc between the two touching points."""
        return np.asarray(np.arctan2(norm(cross(*self._ways)), dot(*self._ways)))

    @property
    def inward(self) -> Array:
        """Directions from the ball's middle to its foot: into the parent, (n, 3)."""
        return np.asarray((self.foot - self.centre) / self.radius)

    @property
    def _ways(self) -> tuple[Array, Array]:
        first, last = ((point - self.centre) / self.radius for point in (self.touch, self.foot))
        return first, last

    def arcs(self, steps: int) -> Array:
        """Points from `touch` to `foot` by `steps` steps: (steps + 1, n, 3)."""
        first, last = self._ways
        turn = self.turn[None, :, None]
        share = (np.arange(steps + 1) / steps)[:, None, None]
        sine = np.maximum(np.sin(turn), 1e-9)
        ways = np.sin((1 - share) * turn) / sine * first + np.sin(share * turn) / sine * last
        points = np.where(turn > 1e-6, self.centre + self.radius * ways, self.touch)
        points[0], points[-1] = self.touch, self.foot
        return np.asarray(points)


LEAST_BALL, SMALLER = 0.1, 0.8
"""A ball smaller than this, mm, makes no round worth having; and by what a ball gives way that does not fit."""


def largest_ball(root: Root) -> float:
    """Radius, mm, of the ball that a flare is begun with.

    One thicker than what the strand grows out of would round nothing: it falls off to its sides.
    """
    parent = max(float(size[0]) for size in root.on.smooth.sizes(np.array([root.station])))
    return min(root.blend, parent)


def rolled(strand: Strand, around: int, most: float = np.inf) -> Flare | None:
    """The flare of `strand` into its parent, at `around` corners of its rings; None without a root or a blend.

    The ball has no more than `most` mm of radius.

    A smaller ball is taken where this one would touch the strand too near to its tip or its beginning, turn around so
    narrow a corner that its arcs cross each other, under a strand that leans on its parent, or leave a fold beside a
    corner that it falls past: at a parent's narrow rim it rests at one corner and not at the next.
    """
    root = strand.root
    if root is None:
        return None
    radius, begin, end = min(largest_ball(root), most), float(strand.body.ends[0]), root.leaves
    end += ROOM * (strand.path.length - root.leaves)
    tip = (end + strand.path.length) / 2
    while radius >= LEAST_BALL:
        flare = _at_rest(strand, root, radius, around)
        highest = np.inf if flare is None else float(flare.station.max())
        if flare is not None and begin < flare.lowest and highest < min(end, tip - ABOVE * radius):
            arcs = flare.arcs(FOLD_STEPS)
            if _faces_the_ball(flare, arcs) and not _folded(strand, flare, arcs):
                return flare
        radius *= SMALLER
    return None


def _faces_the_ball(flare: Flare, arcs: Array) -> bool:
    """Whether every piece of the surface between two `arcs` has the ball's middle before it, none behind: no fold."""
    here, there = arcs[:-1], np.roll(arcs, -1, axis=1)[:-1]
    below, below_there = arcs[1:], np.roll(arcs, -1, axis=1)[1:]
    fronts = [
        dot(cross(there - here, below - here), flare.centre - here),
        dot(cross(below_there - below, below_there - there), np.roll(flare.centre, -1, axis=0) - below_there),
    ]
    held = (flare.turn > 1e-6) & (np.roll(flare.turn, -1) > 1e-6)
    front = np.concatenate(fronts)[:, held]
    return bool((front < 0).all() or (front > 0).all())


def _folded(strand: Strand, flare: Flare, arcs: Array) -> bool:
    """Whether the `arcs`, or the strand right above them, fold."""
    above = np.full(len(flare.station), float(flare.station.max()) + ABOVE * flare.radius)
    return folded(np.concatenate([arcs[::-1], corners_at(strand, above)[0][None]]))


def _at_rest(strand: Strand, root: Root, radius: float, around: int) -> Flare | None:
    """None where the ball would still touch the parent as far along the strand as it is looked for, or nowhere.

    At the edge of a flat belly its surface has no one direction, and the foot that is found may not lie on it.
    """
    thick = max(float(size[0]) for size in strand.body.sizes(np.array([root.leaves])))
    lean = max(abs(drop) / reach for drop, reach in zip(root.drops, root.reach, strict=True))
    reach = (REACH if lean < 1 else 2 * REACH) * (thick + radius)
    low, high = max(0.0, root.leaves - reach), min(strand.path.length, root.leaves + reach)
    station, rests, held = _resting(strand, root.on, low, high, radius, around)
    if held:
        return None
    if not rests.all():
        # Where no ball rests the bare strand enters its parent; where it never does, it goes on beside it.
        bare, enters, _ = _resting(strand, root.on, low, high, 0.0, around)
        station, known = np.where(rests, station, bare), rests | enters
        station = np.where(known, station, float(station[known].min()) if known.any() else root.leaves)
    touch, out = corners_at(strand, station)
    centre = touch + radius * out
    foot = np.where(rests[:, None], centre - radius * _normals(root.on, centre, radius, 3), touch)
    if (np.abs(nearly_outside(root.on, foot[rests])) > ASTRAY).any():
        return None
    lowest = min(float(station.min()), float(strand.path.nearest(foot).min()))
    return Flare(root.on, radius, station, touch, centre, foot, lowest)


def _resting(
    strand: Strand, parent: Strand, low: float, high: float, radius: float, around: int
) -> tuple[Array, NDArray[np.bool_], bool]:
    """Station, for each corner, from which on the ball of `radius` beside the strand is clear of the parent.

    And whether there is one: at a corner beside which the parent is too small the ball falls past it. And whether any
    ball is not yet clear at the last station.
    """
    begin, end, row = np.full(around, low), np.full(around, high), np.arange(around)
    rests, held = np.ones(around, dtype=bool), False
    for steps, rounds in ((LOOKS, 0), (CLOSER, 1), (CLOSER, 2)):
        station = begin[:, None] + (end - begin)[:, None] * np.arange(steps + 1) / steps
        touch, out = corners_at(strand, station)
        centre = (touch + radius * out).reshape(-1, 3)
        if radius > 0:
            centre = centre - radius * _normals(parent, centre, radius, rounds)
        clear = nearly_outside(parent, centre).reshape(station.shape)
        within = clear <= 0
        last = steps - within[:, ::-1].argmax(axis=1)
        held |= steps == LOOKS and bool(within[:, -1].any())
        rests &= within.any(axis=1) & (last < steps)
        last = np.minimum(last, steps - 1)
        begin, end = station[row, last], station[row, last + 1]
    before, behind = clear[row, last], clear[row, last + 1]
    share = np.clip(-before / np.maximum(behind - before, 1e-12), 0.0, 1.0)
    return np.where(rests, begin + share * (end - begin), low), rests, held


def _normals(parent: Strand, centre: Array, radius: float, rounds: int) -> Array:
    """Unit vectors (n, 3) out of the parent where a ball at `centre` touches it: from its direction at the ball's own

    middle, then at the point that this makes the lowest, and so on: each round is right by r / (R + r) more.
    """
    normal = _upward(parent, centre)
    for _ in range(rounds):
        normal = _upward(parent, centre - radius * normal)
    return normal


def _upward(parent: Strand, points: Array) -> Array:
    """Direction in which `nearly_outside` grows fastest, by differences."""
    moved = (points[:, None, :] + STEP * _EVERY_WAY).reshape(-1, 3)
    out = nearly_outside(parent, moved).reshape(-1, 6)
    slope = out[:, :3] - out[:, 3:]
    return np.asarray(slope / np.maximum(norm(slope), 1e-12)[:, None])


_EVERY_WAY = np.concatenate([np.eye(3), -np.eye(3)])[None, :, :]
