"""Whether a bait's slot takes the hook: the wire has to cross the bait inside of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.measures.hook.along import Trunk
from worker.measures.hook.rig import Rig
from worker.strands.strand import Strand

IN_A_SLOT = ("texas", "jig_head")
"""Rigs whose point comes up along the bait: where there is a slot, it is meant to lie there."""


@dataclass(frozen=True)
class SlotRoom:
    """A slot from `begin` to `end` mm along the trunk, `width` mm wide, and how much of it a wire leaves.

    `beside` is what is left of the width, `along` from the wire to the slot's nearer end; below 0 it does not go in.
    """

    begin: float
    end: float
    width: float
    beside: float
    along: float

    @property
    def spare(self) -> float:
        """The lesser of the two, mm."""
        return min(self.beside, self.along)


def slot_room(rig: Rig, trunk: Trunk, hollows: Sequence[Strand]) -> SlotRoom | None:
    """The slot that takes the rig's hook best; None where there is none or the rig lies in none."""
    if rig.kind not in IN_A_SLOT:
        return None
    wire = rig.hook.wire
    rooms = [
        SlotRoom(begin, end, width, width - wire, min(rig.station - begin, end - rig.station) - wire / 2)
        for begin, end, width in _slots(trunk, hollows)
    ]
    return max(rooms, key=lambda room: round(room.spare, 9), default=None)


def _slots(trunk: Trunk, hollows: Sequence[Strand]) -> Iterator[tuple[float, float, float]]:
    for hollow in hollows:
        if hollow.kind != "slot":
            continue
        ends = hollow.path.frames(np.array([0.0, hollow.path.length]))[0]
        stations = trunk[0].path.nearest(ends) if len(trunk) == 1 else ends[:, 0]
        width = 2 * float(hollow.body.half_sizes(np.array([hollow.path.length / 2]))[0][0])
        yield float(stations.min()), float(stations.max()), width
