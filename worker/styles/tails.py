"""Tails of every kind, from the parameters that the styles share.

A style puts `tail_parameters.TAIL` among its parameters, makes its trunk `trunk_length(params)` long instead of
`length`, adds `tail_strands(trunk, params)` behind it, and asks `tail_feasible` what cannot be.

Everything behind the trunk's end is rigid: its reach is known before its place is, so that the bait ends exactly at its
overall length.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from worker.measures.strand.extent import furthest
from worker.strands.attach import attach
from worker.strands.path import HandedPath
from worker.strands.strand import Strand
from worker.styles.placing import Place, place_on, rounded_end
from worker.styles.style import Params, Remedy
from worker.styles.tail_measures import Tail
from worker.styles.worm_parameters import number

ALONE = ("kick", "split", "fork")
"""Tails of which there is one only."""
ROOT_BLEND, LEAST_BLEND = 0.3, 0.8
"""Radius of the round where a tail leaves the trunk, over its wrist, and the least one, mm (judgement)."""
DEEPEST = 1.0
"""How deep a tail's path begins inside of the trunk, over the trunk's half-thickness there (judgement)."""


@lru_cache(maxsize=256)  # asked before a bait is taken and to make it, and by every remedy that leaves the tail alone
def reach_of(tail: Tail) -> float:
    """How far the tails end behind the trunk, along the bait. Raises CurlTooTight."""
    strands = [strand for each in tail.strands(Place(), 1.0) for strand in each]
    return furthest(strands, 0, 1.0)


def trunk_length(params: Params) -> float:
    """Length, mm, of a straight trunk that ends where its tails begin; all of the bait where it has none.

    Raises CurlTooTight; tail_feasible.tail_faults says so before.
    """
    tail = Tail.of(params)
    return number(params, "length") - (0.0 if tail is None else reach_of(tail))


def with_trunk_length(params: Params) -> Params:
    """The parameters as the trunk sees them: its own length in place of the overall one."""
    return {**params, "length": trunk_length(params)} if params.get("tail", "none") != "none" else params


def tail_strands(trunk: Strand, params: Params) -> tuple[Strand, ...]:
    """The tails, rooted in the trunk's end. Raises CurlTooTight, RootOutside."""
    tail = Tail.of(params)
    return () if tail is None else strands_of(tail, trunk)


def strands_of(tail: Tail, trunk: Strand) -> tuple[Strand, ...]:
    """As `tail_strands`, from measures."""
    rooted: list[Strand] = []
    blend = max(ROOT_BLEND * tail.blade.wrist, LEAST_BLEND)
    grown: dict[str, Strand] = {}
    for first, *others in tail.strands(*tail_end(trunk)):
        twin = grown.get(first.name.replace("right", "left")) if isinstance(first.path, HandedPath) else None
        if twin is not None:
            rooted.append(twin.handed(first.name, trunk.name))
            continue
        root = grown[first.name] = attach(first, trunk, blend)
        # A lobe or a paddle leaves a blade along it: there is no corner for a ball to roll in.
        rooted += [root, *(attach(other, first, 0.0) for other in others)]
    return tuple(rooted)


def tail_end(trunk: Strand) -> tuple[Place, float]:
    """Where a trunk ends, and how far ahead of that a tail's path may begin; mm."""
    length = trunk.path.length
    cap = rounded_end(trunk)
    half = min(reaches_at(trunk, length - max(cap, 0.01 * length)))
    return place_on(trunk.path, length), max(cap, DEEPEST * half)


def reaches_at(trunk: Strand, station: float) -> tuple[float, float]:
    """How far the trunk reaches from its path to its sides, and to its back or its belly, whichever is nearer; mm."""
    side, back, belly = trunk.smooth.sizes(np.array([station]))
    return float(side[0]), float(min(back[0], trunk.section.below(belly)[0]))


TAIL_REMEDIES: dict[str, tuple[Remedy, ...]] = {
    "joint_pull of tail": (
        Remedy("tail_wrist", up=True, text="a tail wrist of {value} mm"),
        Remedy("tail_root_thickness", up=True, text="a tail {value} mm thick at its root"),
        Remedy("tail_width", up=True, text="a tail {value} mm wide"),
    ),
    "thin_feature of tail": (
        Remedy("tail_tip_thickness", up=True, text="a tail {value} mm thick at its tip"),
        Remedy("tail_root_thickness", up=True, text="a tail {value} mm thick at its root"),
        Remedy("tail_wrist", up=True, text="a tail wrist of {value} mm"),
        Remedy("tail_width", up=True, text="a tail {value} mm wide"),
    ),
}
"""What mends a tail; a style adds them to its own remedies."""
