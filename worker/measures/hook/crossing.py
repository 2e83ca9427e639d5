"""How much plastic a hook's wire crosses, and what that holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from worker.measures.hook.along import Trunk, place_along
from worker.measures.hook.rig import Rig
from worker.measures.strand.joints import Joints
from worker.measures.strand.places import boxes_of, outside_all
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.values.plastics import Plastic

LOOKS, HALVINGS = 160, 12
"""Places along the wire at which it is asked whether there is plastic, and how often each change is halved."""
BEARING_MPA = 1.3 * 0.2
"""What a soft gel bears under a wire besides being torn: 1.3 times 0.2 MPa (from memory)."""
PLACED_WITHIN_MM = 2.0
"""By hand a hook is placed to this (judgement): a neck so near to it has the wire's hole in it."""


@lru_cache(maxsize=64)  # a remedy tries hooks and plastics in one bait
def plastic_crossed(trunk: Trunk, hollows: tuple[Strand, ...], station: float, *, upward: bool) -> float:
    """mm of plastic from belly to back at a station, or only `upward` from the path: what hollows leave of it."""
    centre, back = place_along(trunk, station)
    if len(trunk) == 1 and not hollows:
        _, high, low = trunk[0].body.sizes(np.array([station]))
        return float(high[0]) + (0.0 if upward else float(trunk[0].section.below(low)[0]))
    reach = sum(strand.body.greatest_height for strand in trunk)
    boxes = boxes_of((*trunk, *hollows))

    def inside(at: Array) -> NDArray[np.bool_]:
        points = centre + at[:, None] * back
        return np.asarray(~outside_all(points, trunk, boxes) & outside_all(points, hollows, boxes))

    low_end = 0.0 if upward else -reach
    at = low_end + (reach - low_end) * np.arange(LOOKS + 1) / LOOKS
    there = inside(at)
    change = np.flatnonzero(there[1:] != there[:-1])
    low, high, begins = at[change], at[change + 1], there[change + 1]
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        after = inside(middle) == begins
        low, high = np.where(after, low, middle), np.where(after, middle, high)
    # Each change is a beginning or an end; what is there at the path itself began before.
    ends = float(np.where(begins, -high, high).sum())
    return ends - (low_end if bool(there[0]) else 0.0)


@dataclass(frozen=True)
class Held:
    """What the hook holds, N, by the plastic that it crosses, mm; and its point's clearance, mm."""

    crossed: float
    hold_low: float
    hold: float
    hold_high: float
    clearance: float


def held(rig: Rig, trunk: Trunk, hollows: Sequence[Strand], plastic: Plastic) -> Held:
    """Pull-through of a wire, F = thickness x (tear energy + 1.3 x 0.2 MPa x wire diameter) (from memory).

    Clearance is the gape less the plastic that stands in it: of texas all that the point goes through, of a jig head
    what lies over its shank, of hooks that hang across half of what they cross.
    """
    hook, inside = rig.hook, rig.kind == "jig_head"
    crossed = plastic_crossed(trunk, tuple(hollows), rig.station, upward=inside)
    tear = plastic.tear_energy
    # J/m2 is N/m, a thousandth of N/mm.
    low, typical, high = (
        crossed * (energy / 1000 + BEARING_MPA * hook.wire) for energy in (tear.low, tear.typical, tear.high)
    )
    if inside:
        stands = max(crossed - hook.wire / 2, 0.0)
    else:
        stands = crossed if rig.kind == "texas" else crossed / 2
    return Held(crossed, low, typical, high, round(hook.gape - stands, 6))


def less_hook(joints: Joints, rig: Rig | None, hook: Held | None) -> Joints:
    """A trunk's joints less the hook's wire: the net area loses wire x depth where it crosses.

    A jig head's shank takes its own round out of every joint ahead of that.
    """
    if rig is None or hook is None or len(joints) == 0:
        return joints
    wire = rig.hook.wire
    across = np.abs(joints.station - rig.station) <= PLACED_WITHIN_MM
    lost = np.where(across, wire * np.minimum(hook.crossed, 2 * joints.half_height), 0.0)
    if rig.kind == "jig_head":
        lost = np.where((joints.station < rig.station) & ~across, np.pi / 4 * wire * wire, lost)
    return joints.less(np.maximum(1 - lost / np.maximum(joints.area, 1e-12), 0.0))
