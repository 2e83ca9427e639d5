"""Places of a bait that checks name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.measures.strand.joints import Joints
from worker.measures.strand.trunk_section import place_of
from worker.strands.strand import Strand, StrandKind


@dataclass(frozen=True)
class Thinnest:
    """The thinnest place between two thicker ones: mm across, at mm from the root of its strand (the trunk's: nose).

    `way` is 0 where it is its width that is thin, 1 for its height.
    """

    across: float
    station: float
    strand: str
    kind: StrandKind
    way: int = 0


def thinnest_of_trunk(trunk: Sequence[Strand], joints: Joints) -> Thinnest:
    """The thinnest crest or joint of a trunk."""
    crests, at = [], []
    for strand in trunk:
        crest_x = strand.body.relief.crest_x
        crests.append(2 * np.minimum(*strand.body.half_sizes(crest_x)))
        at.append(crest_x if len(trunk) == 1 else place_of(strand, crest_x))
    if len(joints):
        crests.append(2 * np.minimum(joints.half_width, joints.half_height))
        at.append(joints.station)
    across, station = np.concatenate(crests), np.concatenate(at)
    least = int(np.flatnonzero(across <= float(across.min()) * (1 + 1e-9))[0])
    return Thinnest(float(across[least]), float(station[least]), "trunk", "trunk")
