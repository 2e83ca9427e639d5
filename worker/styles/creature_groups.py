"""The limbs of a creature, a group at a time: where each pair is rooted in the body, and what grows there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Point
from worker.strands.plain import Plain
from worker.strands.strand import LimbKind, Strand
from worker.styles.blades import SHAPES, curl
from worker.styles.creature_body import CreatureBody
from worker.styles.directions import curve_of, level_left, towards
from worker.styles.limbs import Limb, Rooted

KINDS: dict[str, LimbKind] = {
    "leg": "leg",
    "flapper": "flapper",
    "wing": "wing",
    "curl": "curl",
    "feeler": "feeler",
    "paddle": "paddle",
}
"""Kinds of limbs, and of the strands that they are."""
ROUND = ("leg", "feeler")
"""Kinds with a round section; the others are blades."""
STALK = 1.25
"""Width of a blade's stalk where it leaves the body over its thickness (judgement)."""
BOW = {"flapper": 12.0, "paddle": 8.0, "wing": 6.0, "curl": 0.0, "feeler": 0.0}
"""A blade leaves the body this many degrees further out than it lies as a whole, and ends as many further in."""
STEEPEST_ROOT = 12.0
"""Least angle, degrees, between a limb's root and straight back: flatter, it would run along inside of the body."""
SQUARER = 0.55
"""A leg leaves a plain body so far from its own direction towards square (judgement)."""
ROOT_DEEP, ROOT_LONG = 0.6, 1.6
"""How deep a limb's path begins below the body's skin, and how long it runs there at most, over the body's half-width
(judgement)."""


@dataclass(frozen=True)
class Group:
    """One row of `groups`; `number` is its place, from 1. mm and degrees."""

    row: Mapping[str, Any]
    number: int

    def of(self, name: str) -> float:
        """A number of the row."""
        return float(self.row[name])

    @property
    def kind(self) -> str:
        """leg, flapper, wing, curl, feeler or paddle."""
        return str(self.row["kind"])

    @property
    def pairs(self) -> int:
        """Pairs of limbs."""
        return int(self.row["pairs"])

    @property
    def blade(self) -> bool:
        """Whether it is flat."""
        return self.kind not in ROUND

    @property
    def yaw(self) -> float:
        """Angle to the side of straight back."""
        return 90.0 - self.of("sweep")

    @property
    def root_width(self) -> float:
        """Width where it leaves the body."""
        if not self.blade:
            return self.of("root")
        stalk = STALK * self.of("root")
        return max(stalk, 0.85 * self.of("width")) if self.kind == "wing" else min(stalk, self.of("width"))

    def ways(self, *, ribbed: bool) -> tuple[Point, Point, Point]:
        """Directions in which it leaves the body, lies as a whole, and ends.

        From between ribs it leaves squarely: slanted it would lie on the next rib and bridge the groove between.
        """
        yaw, rise = self.yaw, self.of("rise")
        square = 90.0 if ribbed else yaw + SQUARER * (90.0 - yaw)
        if self.kind == "leg":
            arrive = max(yaw - 0.3 * (90.0 - yaw), 0.4 * yaw)
            return towards(square, rise), towards(yaw, rise - 5.0), towards(arrive, rise - 14.0)
        bow = BOW[self.kind]
        leave = towards(max(yaw + bow, square if ribbed else STEEPEST_ROOT), rise)
        if self.kind == "feeler":
            return leave, towards(1.3 * yaw, 0.5 * rise), towards(2.0 * yaw, -0.2 * rise)
        return leave, towards(yaw, rise), towards(max(yaw - bow, 0.3 * yaw), rise)


@dataclass(frozen=True)
class Seat:
    """Where one pair stands: at `share` of the body's length and `on` mm, and its root seen from that station.

    What is drawn from a seat moves with it and does not change, so its reach is known before the body's length is.
    """

    group: Group
    pair: int
    share: float
    on: float
    rooted: Rooted
    ways: tuple[Point, Point, Point]
    name: str = ""

    def called(self, number: int) -> Seat:
        """With the name of its left limb; 0 for one that is alone of its kind."""
        return replace(self, name=f"left {self.group.kind} {number}" if number else f"left {self.group.kind}")

    def station(self, body_length: float) -> float:
        """Along the body."""
        return self.share * body_length + self.on

    @property
    def longest(self) -> float:
        """More than it can reach to any side."""
        return self.rooted.depth + self.group.of("length") + self.group.of("width") + self.group.of("root")

    def strand(self, station: float) -> Strand:
        """The left limb, not yet grown to the body, with its seat at `station`."""
        x, y, z = self.rooted.inner
        rooted, group = replace(self.rooted, inner=(x + station, y, z)), self.group
        length, root, tip = (group.of(each) for each in ("length", "root", "tip"))
        kind, (leave, way, arrive) = KINDS[group.kind], self.ways
        if not group.blade:
            return Limb(rooted, way, arrive, length, root, tip).strand(self.name, kind)
        if group.kind == "curl":
            first, *rest = curl(length, rooted.surface, group.yaw, group.of("rise"))
            outside: tuple[Knot, ...] = (replace(first, direction=leave), *rest)
        else:
            outside = curve_of(length, rooted.surface, leave, way, arrive)
        path = HermitePath(rooted.knots(outside), level_left(leave))
        whole, width, stalk = path.length, group.of("width"), group.root_width
        shape = SHAPES[group.kind]
        stations = [(0.0, stalk, root), (rooted.depth / whole, stalk, root)]
        for share, wide in shape.stations:
            at = min((rooted.depth + share * length) / whole, 1.0)
            stations.append((at, max(wide * width, min(stalk, width)), root + share * (tip - root)))
        return Strand(self.name, kind, path, Girth.oval(*stations), Plain((0.0, shape.round_end * width)))


def seats(body: CreatureBody, group: Group) -> Iterator[Seat]:
    """Every pair of a group, from front to rear."""
    begin, end = body.zone
    for pair, (share, on) in enumerate(_stations(body, group)):
        station = share * body.length + on
        ways = group.ways(ribbed=not body.plain and begin - body.land < station < end)
        yield Seat(group, pair, share, on, _rooted(body, station, group, ways[0]), ways)


def _stations(body: CreatureBody, group: Group) -> Iterator[tuple[float, float]]:
    """Share of the body's length and mm, a pair."""
    first, last, every = group.of("from"), group.of("to"), int(group.row["every"])
    if every == 0:
        for pair in range(group.pairs):
            yield first + (last - first) * (pair / max(group.pairs - 1, 1)), 0.0
        return
    # On the ribs themselves: the first that stands at or behind `from`.
    begin = body.zone[0] / body.length
    rib = body.first_rib(first)
    for pair in range(group.pairs):
        # More pairs than there are ribs are a fault; it is told with the body that they leave.
        yield begin, body.rib(min(rib + pair * every, body.rib_count)) - body.zone[0]


def _rooted(body: CreatureBody, station: float, group: Group, leave: Point) -> Rooted:
    """Seen from `station`: out of the body's side, further up or down the more it rises or falls."""
    half_width, half_height = (float(size[0]) for size in body.trunk.smooth.half_sizes(np.array([station])))
    turn = math.radians(0.5 * group.of("rise"))
    y, z = half_width * math.cos(turn), half_height * math.sin(turn)
    aside = math.hypot(leave[1], leave[2])
    depth = min(ROOT_DEEP * math.hypot(y, z) / aside, ROOT_LONG * body.width / 2)
    return Rooted((-depth * leave[0], y - depth * leave[1], z - depth * leave[2]), depth, leave)
