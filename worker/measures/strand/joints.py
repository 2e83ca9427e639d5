"""Joints of a trunk: every neck with its area, its notch factor and the pull at which it is expected to tear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.notch import BLUNTING_MM, notch_factors
from worker.strands.body import Body
from worker.strands.roots import Array
from worker.values.plastics import Range


@dataclass(frozen=True)
class Joints:
    """One element a joint, from nose to tail: station mm, area mm2, half sizes mm, diameters mm, pulls N."""

    station: Array
    area: Array
    half_width: Array
    half_height: Array
    smaller_bead: Array
    factor: Array
    out_of_range: NDArray[np.bool_]
    on_core: NDArray[np.bool_]
    pull: Array
    pull_low: Array
    pull_high: Array

    @cached_property
    def diameter(self) -> Array:
        """Diameter of the circle of the joint's area, mm."""
        return 2 * np.sqrt(self.area / np.pi)

    def __len__(self) -> int:
        return len(self.station)

    def less(self, share: Array) -> Joints:
        """The same joints where hollows or a hook leave `share` of each one's area, (n,)."""
        if bool((share == 1).all()):
            return self
        pulls = {name: getattr(self, name) * share for name in ("area", "pull", "pull_low", "pull_high")}
        return replace(self, **pulls)

    def more(self, least: Array, plane: Array, strength: Range) -> Joints:
        """The same joints where limbs add `least` mm2 to each one's area, and `plane` mm2 to the high pull's, (n,).

        The low pull counts nothing of either.
        """
        pull, high = (strength.typical * least / self.factor, strength.high * plane)
        return replace(self, area=self.area + least, pull=self.pull + pull, pull_high=self.pull_high + high)

    @classmethod
    def together(cls, parts: Sequence[Joints]) -> Joints:
        """All of `parts`, one after the other."""
        names = cls.__dataclass_fields__
        return parts[0] if len(parts) == 1 else cls(*(np.concatenate([getattr(p, n) for p in parts]) for n in names))


@dataclass(frozen=True)
class JointGroup:
    """The joints of one strand (or of the trunk): what each is (neck, core, root) and the pull, N, all are held to.

    `words` begins a sentence about one where neither its strand's relief nor its root tells it. `share`: how much of
    the limit is asked of each; None: all of it. `helped`: which of them limbs lie over, and add to; empty: none.
    """

    strand: str
    strand_kind: str
    kinds: tuple[str, ...]
    limit: float
    joints: Joints
    words: str = ""
    share: Array | None = None
    helped: tuple[bool, ...] = ()

    @cached_property
    def limits(self) -> Array:
        """The pull, N, that each joint is held to."""
        return np.full(len(self.joints), self.limit) if self.share is None else self.limit * self.share


def pulls(area: Array, factor: Array, strength: Range) -> tuple[Array, Array, Array]:
    """Pull = strength x net area / notch factor, strength nominal (force over unstretched area): typical, low, high.

    The low pull takes the low strength with the factor, the high one the high strength without.
    """
    return strength.typical * area / factor, strength.low * area / factor, strength.high * area


def joints_of(body: Body, strength: Range, blunting: float = BLUNTING_MM) -> Joints:
    """Every neck between two thicker places that hangs together.

    `blunting`: by how much notches count as rounder, mm.
    """
    gap = np.flatnonzero(body.joined)
    station = body.thinnest[gap]
    half_width, back, belly = body.narrower_side(station)
    half_height = (back + body.section.below(belly)) / 2
    area = body.section.area(half_width, back, belly)
    crest_area = body.section.area(*body.crests)
    smaller = np.minimum(crest_area[gap], crest_area[gap + 1])
    narrower = area < smaller * (1 - 1e-9)
    station, half_width, half_height, area = (part[narrower] for part in (station, half_width, half_height, area))
    gap, smaller = gap[narrower], smaller[narrower]
    net, larger = 2 * np.sqrt(area / np.pi), 2 * np.sqrt(smaller / np.pi)
    gaps = body.relief.gaps
    on_core = gaps.on_floor[gap]
    shows = gaps.floor_end[gap] - gaps.floor_begin[gap]
    level = on_core if gaps.level is None else on_core | gaps.level[gap]
    shoulder = level & (shows > net / 2)
    sides, blends = (half_width, half_height), body.relief.blends[gap]
    notch = notch_factors(larger, net, blends, shoulder=shoulder, sides=sides, blunting=blunting)
    return Joints(
        station,
        area,
        half_width,
        half_height,
        larger,
        notch.factor,
        notch.out_of_range,
        on_core,
        *pulls(area, notch.factor, strength),
    )
