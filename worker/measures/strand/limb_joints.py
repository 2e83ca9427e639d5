"""Joints of the strands that grow out of others: the root, and necks along them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.measures.strand.joints import Joints, pulls
from worker.measures.strand.notch import BLUNTING_MM, notch_factors
from worker.strands.body import Body
from worker.strands.girth import Girth
from worker.strands.strand import Strand
from worker.values.plastics import Range

BEND_OVER = 0.2
"""How far beside a neck its outline is looked at to tell the radius of its round, mm."""
SLIGHT = 0.995
"""A neck counts where its area is under this share of both sides' (judgement)."""


def limb_joints(
    limb: Strand, parent: Strand, strength: Range, blunting: float = BLUNTING_MM
) -> tuple[Joints, tuple[str, ...]]:
    """The root of `limb` and its necks, by station on the limb, and the kind of each: root or neck.

    The root's section is the limb's own where its flare ends; its notch a shoulder on the parent's greatest section,
    rounded by the root's blend. A neck's notch is a groove between the thicker places on both sides, with its outline's
    own radius. Right limbs have those of their left counterparts.
    """
    if limb.root is None:
        raise TypeError(f"{limb.name} has no root")
    length, blend = limb.path.length, limb.root.blend
    root = min(limb.root.leaves + blend, 0.5 * (limb.root.leaves + length))
    body, smooth = _Same(limb.body), _Same(parent.smooth)
    return _joints(body, length, limb.girth, (root, blend), smooth, strength, blunting)


@dataclass(frozen=True)
class _Same:
    """A body that equals no other: twins share theirs, so nothing of it has to be compared."""

    body: Body

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.body is self.body

    def __hash__(self) -> int:
        return id(self.body)


@lru_cache(maxsize=64)  # a remedy tries many baits that differ in one strand
def _joints(
    limb: _Same,
    length: float,
    girth: Girth,
    root_and_blend: tuple[float, float],
    parent: _Same,
    strength: Range,
    blunting: float,
) -> tuple[Joints, tuple[str, ...]]:
    """Of a limb whose flare ends at `root` mm."""
    body, (root, blend) = limb.body, root_and_blend
    marks = np.array([station.at * length for station in girth.stations])
    marks = marks[(marks > root) & (marks < length)]
    look = np.unique(np.concatenate([[root], marks, root + (length - root) * np.arange(1, 33) / 33]))
    areas = body.area(look)
    necks, smaller, blends = [], [], []
    for mark in marks.tolist():
        here = float(body.area(np.array([mark]))[0])
        before, after = float(areas[look <= mark].max()), float(areas[look >= mark].max())
        if here < SLIGHT * min(before, after) and here <= float(areas[np.abs(look - mark) < 1.0].min()) + 1e-9:
            necks.append(mark)
            smaller.append(min(before, after))
            blends.append(_radius_at(body, mark))
    station = np.array([root, *necks])
    area = body.area(station)
    shoulder = np.arange(len(station)) == 0
    beside = np.array([max(_greatest(parent.body), float(area[0])), *smaller])
    larger, net = 2 * np.sqrt(beside / np.pi), 2 * np.sqrt(area / np.pi)
    half_width, half_height = body.half_sizes(station)
    sides = np.asarray(half_width), np.asarray(half_height)
    rounds = np.array([blend, *blends])
    notch = notch_factors(larger, net, rounds, shoulder=shoulder, sides=sides, blunting=blunting)
    joints = Joints(
        station,
        area,
        half_width,
        half_height,
        larger,
        notch.factor,
        notch.out_of_range,
        np.zeros(len(station), dtype=bool),
        *pulls(area, notch.factor, strength),
    )
    return joints, ("root", *("neck" for _ in necks))


def thinnest_of(limb: Strand) -> tuple[float, float]:
    """Least thickness of a limb and where; flare and root left out, and at its tip as much as it is thick there."""
    return min(thinnest_each_way(limb), key=lambda place: place[0])


@lru_cache(maxsize=64)  # a remedy tries many baits that differ in one strand
def thinnest_each_way(limb: Strand) -> tuple[tuple[float, float], tuple[float, float]]:
    """The same for the width alone, and for the height alone: what mends the one seldom mends the other."""
    root, length = limb.root, limb.path.length
    begin = 0.0 if root is None else root.leaves + root.blend
    tip = float(limb.body.ends[-2]) if len(limb.body.ends) > 2 else length
    half = np.min([part[0] for part in limb.body.half_sizes(np.array([tip]))])
    end = max(length - 2 * float(half), begin)
    marks = np.array([station.at * length for station in limb.girth.stations])
    station = np.unique(np.concatenate([[begin], marks[(marks > begin) & (marks < end)], [min(tip, end)]]))
    width, height = ((2 * size, int(size.argmin())) for size in limb.body.half_sizes(station))
    return (
        (float(width[0][width[1]]), float(station[width[1]])),
        (float(height[0][height[1]]), float(station[height[1]])),
    )


def _greatest(body: Body) -> float:
    ends = body.ends
    return float(body.area((ends[1:] + ends[:-1]) / 2).max(initial=float(body.area(ends).max())))


def _radius_at(body: Body, station: float) -> float:
    """Least radius of either outline's round at a neck, whose slope there is none: h^2 / 2 over its rise."""
    around = np.array([station - BEND_OVER, station, station + BEND_OVER])
    rises = [max(float(half[0] - half[1]), float(half[2] - half[1])) for half in body.half_sizes(around)]
    return BEND_OVER * BEND_OVER / (2 * max(*rises, 1e-6))
