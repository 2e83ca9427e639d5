"""The joint that a ligament is."""

from __future__ import annotations

import numpy as np

from worker.measures.strand.joints import JointGroup, Joints, pulls
from worker.measures.strand.notch import BLUNTING_MM, notch_factors
from worker.strands.ligament import Ligament
from worker.values.plastics import Range


def ligament_joints(ligament: Ligament, limit: float, strength: Range, blunting: float = BLUNTING_MM) -> JointGroup:
    """One joint held to `limit` N: a shoulder on what it leaves, by the circles of the two areas (see notch)."""
    area, of_area = np.array([ligament.area]), np.array([max(ligament.of_area, ligament.area)])
    net, larger = 2 * np.sqrt(area / np.pi), 2 * np.sqrt(of_area / np.pi)
    blend, shoulder = np.array([ligament.blend]), np.array([True])
    notch = notch_factors(larger, net, blend, shoulder=shoulder, blunting=blunting)
    half = np.array([ligament.across / 2])
    joints = Joints(
        np.array([ligament.station]),
        area,
        half,
        half,
        larger,
        notch.factor,
        notch.out_of_range,
        np.zeros(1, dtype=bool),
        *pulls(area, notch.factor, strength),
    )
    return JointGroup(ligament.name, ligament.kind, ("ligament",), limit, joints, ligament.words)
