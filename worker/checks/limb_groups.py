"""The joints of every limb, each with what it is held to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from worker.measures.strand.joints import JointGroup, Joints
from worker.measures.strand.limb_joints import limb_joints
from worker.measures.strand.limbs_beside import with_limbs_beside
from worker.strands.strand import Strand
from worker.values.plastics import Range
from worker.values.pulls import pull_of_kind


def limb_groups(
    strands: Sequence[Strand],
    hollows: tuple[Strand, ...],
    strength: Range,
    require: Mapping[str, float],
    blunting: float,
) -> list[JointGroup]:
    """One for each limb that grows out of another strand, in their order, held to what a request requires.

    `blunting`: by how much notches count as rounder, mm.
    """
    by_name = {strand.name: strand for strand in strands}
    rooted, found = list[Strand](), list[tuple[Joints, tuple[str, ...]]]()
    for limb in strands:
        if limb.limb and limb.root is not None:
            rooted.append(limb)
            found.append(limb_joints(limb, by_name[limb.root.parent], strength, blunting))
    beside = with_limbs_beside(rooted, [alone for alone, _ in found], hollows, strength)
    return [
        JointGroup(limb.name, limb.kind, kinds, pull_of_kind(limb.kind, require), joints, helped=helped(alone, joints))
        for limb, (alone, kinds), joints in zip(rooted, found, beside, strict=True)
    ]


def helped(alone: Joints, joints: Joints) -> tuple[bool, ...]:
    """Which joints hold more than they do for themselves, because limbs lie over them."""
    return tuple((joints.area > alone.area).tolist())
