"""Which ball a solid's flare is left with where arithmetic cannot tell: it is rested as the solid does, for few limbs.

Limbs of one kind stand in rows, and their balls give way alike: what is found of one holds for all that are shaped as
it is around their roots, whatever their size. Of many limbs that are all unlike, only `MOST` are asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.strands.flare import LEAST_BALL, largest_ball, rolled
from worker.strands.roots import Array
from worker.strands.strand import Root, Strand
from worker.strands.vectors import dot

CORNERS = 24
"""Corners at which the ball is rested: how far it gives way no longer changes with more of them."""
ALIKE = 0.03
"""Difference of any of two shapes' numbers up to which they count as one."""
MOST = 12
"""How many limbs of a bait are asked before the others take the answer of the one most like them, alike or not."""


@dataclass(frozen=True)
class _Asked:
    """A limb whose ball was rested: its shape, and the ball's radius over the one that its flare began with."""

    limb: Strand
    on: Strand
    shape: Array
    share: float

    def unlike(self, limb: Strand, on: Strand, shape: Array) -> float:
        """Greatest difference of any number of the two shapes; without end where parent or section are others."""
        same = on is self.on and limb.section == self.limb.section
        return float(np.abs(shape - self.shape).max()) if same else np.inf


def balls_of(limbs: Sequence[Strand]) -> list[float]:
    """Radius, mm, of the ball of each limb's flare; 0 where none rests, where there is no root and without a blend."""
    asked: list[_Asked] = []
    return [0.0 if limb.root is None else _ball(limb, limb.root, asked) for limb in limbs]


def _ball(limb: Strand, root: Root, asked: list[_Asked]) -> float:
    largest = largest_ball(root)
    if largest < LEAST_BALL:
        return 0.0
    shape = _shape(limb, root, largest)
    unlike = [each.unlike(limb, root.on, shape) for each in asked]
    nearest = min(range(len(asked)), key=unlike.__getitem__, default=None)
    if nearest is not None and (unlike[nearest] <= ALIKE or (len(asked) >= MOST and unlike[nearest] < np.inf)):
        return asked[nearest].share * largest
    flare = rolled(limb, CORNERS)
    asked.append(_Asked(limb, root.on, shape, 0.0 if flare is None else flare.radius / largest))
    return asked[-1].share * largest


def _shape(limb: Strand, root: Root, ball: float) -> Array:
    """Numbers without a unit that tell how the ball rests: by lean, thickness, turn and room, in balls or over them."""
    at = np.array([root.leaves, min(root.leaves + 2 * ball, limb.path.length)])
    sizes = np.array(limb.body.sizes(at)).ravel()
    parent = np.array(root.on.smooth.sizes(np.array([root.station]))).ravel()
    _, left, back = limb.path.frames(at[:1])
    bend = limb.path.curvature(at[:1])
    room = np.array([root.leaves - float(limb.body.ends[0]), limb.path.length - root.leaves])
    return np.concatenate(
        [
            np.array(root.drops) / np.array(root.reach),
            sizes / (sizes + ball),
            ball / (parent + ball),
            ball / (room + ball),
            ball * np.concatenate([dot(bend, left), dot(bend, back)]),
        ]
    )
