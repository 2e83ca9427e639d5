"""Every neck of a trunk, of one strand or of several, less what hollows take out of it."""

from __future__ import annotations

from worker.measures.strand.hollows import net_share, net_trunk_share
from worker.measures.strand.joints import Joints, joints_of
from worker.measures.strand.notch import BLUNTING_MM
from worker.measures.strand.trunk import trunk_joints
from worker.strands.strand import Strand
from worker.values.plastics import Range


def necks_of(
    trunk: tuple[Strand, ...], hollows: tuple[Strand, ...], strength: Range, blunting: float = BLUNTING_MM
) -> tuple[Joints, tuple[str, ...]]:
    """The joints from nose to tail, and whether each is a neck of its own or the core that shows.

    `blunting`: by how much notches count as rounder, mm.
    """
    if len(trunk) == 1:
        joints = joints_of(trunk[0].body, strength, blunting)
        kinds = tuple("core" if on_core else "neck" for on_core in joints.on_core.tolist())
        return joints.less(net_share(trunk[0], joints.station, hollows)), kinds
    joints = trunk_joints(trunk, strength, blunting)
    return joints.less(net_trunk_share(trunk, joints, hollows)), ("neck",) * len(joints)
