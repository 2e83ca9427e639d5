"""What other limbs add to a limb's own joints where they lie over them, as roots add to a trunk's necks (covered.py).

Blades of a fan run into each other at their roots, twin tails do, and a leg may lie across another: to tear off one,
the other has to be torn along it. A limb's parent adds nothing: it lies behind the root's plane.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from worker.measures.strand.covered import Covered, over
from worker.measures.strand.joints import Joints
from worker.measures.strand.places import Box, boxes_of
from worker.strands.attach import nearly_outside
from worker.strands.path import HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.values.plastics import Range

AROUND = 12
"""Places around a joint, on the ellipse of its half sizes, at which it is first asked whether another limb is there."""
_TURN = 2 * np.pi * (np.arange(AROUND) + 0.5) / AROUND
_AROUND = np.stack([np.cos(_TURN), np.sin(_TURN)])
LEVEL = 1e-6
"""How far a box may lie beside the bait's middle, mm, and be as far to both sides."""


def with_limbs_beside(
    limbs: Sequence[Strand], joints: Sequence[Joints], hollows: tuple[Strand, ...], strength: Range
) -> list[Joints]:
    """The joints of each limb with what other limbs add to them; as they are where none comes near.

    Area and pull count the least ways, the low pull the limb alone, the high one what the joint's plane cuts.
    """
    if len(limbs) < 2:
        return list(joints)
    boxes = boxes_of(limbs)
    held_by = _held_by(limbs, joints, boxes)
    twins = _twins(limbs, boxes)
    found: dict[str, Covered | None] = {}
    told = []
    for limb, alone in zip(limbs, joints, strict=True):
        names, twin = held_by[limb.name], twins.get(limb.name)
        if twin in found and {twins.get(name) for name in held_by[twin]} == names:
            added = found[twin]  # left and right are one to the last bit, which their rays are not
        else:
            near = tuple(each for each in limbs if each.name in names)
            added = over(alone, (limb,), near, hollows) if near else None
        found[limb.name] = added
        told.append(alone if added is None else alone.more(added.least, added.plane, strength))
    return told


def _held_by(limbs: Sequence[Strand], joints: Sequence[Joints], boxes: Mapping[str, Box]) -> dict[str, set[str]]:
    """For each limb the names of the others that lie at any of its joints' rims."""
    rims = [_rims(limb, each) for limb, each in zip(limbs, joints, strict=True)]
    owner = np.repeat(np.arange(len(limbs)), [len(each) for each in rims])
    places = np.concatenate(rims)
    low, high = (np.stack(side) for side in zip(*(boxes[limb.name] for limb in limbs), strict=True))
    there = np.ones((len(limbs), len(places)), dtype=bool)
    for axis in range(3):
        there &= (places[:, axis] > low[:, axis, None]) & (places[:, axis] < high[:, axis, None])
    held: dict[str, set[str]] = {limb.name: set() for limb in limbs}
    parents = np.array(["" if limb.root is None else limb.root.parent for limb in limbs])
    for number, other in enumerate(limbs):
        asked = np.flatnonzero(there[number] & (owner != number) & (parents[owner] != other.name))
        if len(asked):
            inside = nearly_outside(other, places[asked], relief=True) < 0
            for row in np.unique(owner[asked][inside]).tolist():
                held[limbs[row].name].add(other.name)
    return held


def _rims(limb: Strand, joints: Joints) -> Array:
    points, left, back = limb.path.frames(joints.station)
    aside, upward = joints.half_width[:, None] * _AROUND[0], joints.half_height[:, None] * _AROUND[1]
    around = aside[:, :, None] * left[:, None, :] + upward[:, :, None] * back[:, None, :]
    return np.asarray((points[:, None, :] + around).reshape(-1, 3))


def _twins(limbs: Sequence[Strand], boxes: Mapping[str, Box]) -> dict[str, str]:
    """The name of each limb's counterpart on the bait's other side; of one in its middle, its own."""
    by_path = {id(limb.path): limb.name for limb in limbs}
    twins = {
        limb.name: limb.name for limb in limbs if abs(float(boxes[limb.name][0][1] + boxes[limb.name][1][1])) < LEVEL
    }
    for limb in limbs:
        if isinstance(limb.path, HandedPath) and id(limb.path.of) in by_path:
            other = by_path[id(limb.path.of)]
            twins[limb.name], twins[other] = other, limb.name
    return twins
