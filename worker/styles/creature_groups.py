"""The limbs of a creature, a group at a time: where each pair is rooted in the body, and what grows there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Point
from worker.strands.plain import Plain
from worker.strands.strand import Strand, StrandKind
from worker.styles.blades import SHAPES, curl
from worker.styles.creature_body import CreatureBody
from worker.styles.directions import curve_of, level_left, towards
from worker.styles.limbs import Limb, Rooted

KINDS: dict[str, StrandKind] = {
    "leg": "leg",
    "flapper": "flapper",
    "wing": "wing",
    "curl": "tentacle",
    "feeler": "feeler",
    "paddle": "paddle",
}
"""Kinds of limbs, and of the strands that they are."""
ROUND = ("leg", "feeler")
"""Kinds with a round section; the others are blades."""
STALK = 1.25
"""Width of a blade's stalk where it leaves the body over its thickness (judgement)."""
BOW = {"flapper": 12.0, "paddle": 8.0, "wing": 6.0}
"""A blade leaves the body this many degrees further out than it lies as a whole, and ends as many further in."""
STEEPEST_ROOT = 12.0
"""Least angle, degrees, between a limb's root and straight back: flatter, it would run along inside of the body."""
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

    @cached_property
    def ways(self) -> tuple[Point, Point, Point]:
        """Directions in which it leaves the body, lies as a whole, and ends."""
        yaw, rise = self.yaw, self.of("rise")
        match self.kind:
            case "leg":
                leave, arrive = yaw + 0.55 * (90.0 - yaw), max(yaw - 0.3 * (90.0 - yaw), 0.4 * yaw)
                return towards(leave, rise), towards(yaw, rise - 5.0), towards(arrive, rise - 14.0)
            case "feeler":
                return _not_flatter(yaw, rise), towards(1.3 * yaw, 0.5 * rise), towards(2.0 * yaw, -0.2 * rise)
            case "curl":
                return (towards(yaw, rise),) * 3
            case kind:
                bow = BOW[kind]
                return _not_flatter(yaw + bow, rise), towards(yaw, rise), towards(max(yaw - bow, 0.3 * yaw), rise)

    def outside(self, surface: Point) -> tuple[Knot, ...]:
        """The path of a blade from the body's skin on."""
        leave, way, arrive = self.ways
        if self.kind == "curl":
            return curl(self.of("length"), surface, self.yaw, self.of("rise"))
        return curve_of(self.of("length"), surface, leave, way, arrive)


def _not_flatter(yaw: float, rise: float) -> Point:
    return towards(max(yaw, STEEPEST_ROOT), rise)


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

    @property
    def name(self) -> str:
        """Of the left limb."""
        each = f" {self.pair + 1}" if self.group.pairs > 1 else ""
        return f"left {self.group.kind} {self.group.number}{'.' + each.strip() if each else ''}"

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
        kind = KINDS[group.kind]
        if not group.blade:
            _, way, arrive = group.ways
            return Limb(rooted, way, arrive, length, root, tip).strand(self.name, kind)
        knots = rooted.knots(group.outside(rooted.surface))
        path = HermitePath(knots, level_left(rooted.leave))
        whole, width, first = path.length, group.of("width"), group.root_width
        shape = SHAPES[group.kind]
        stations = [(0.0, first, root), (rooted.depth / whole, first, root)]
        for share, wide in shape.stations:
            at = min((rooted.depth + share * length) / whole, 1.0)
            stations.append((at, max(wide * width, min(first, width)), root + share * (tip - root)))
        return Strand(self.name, kind, path, Girth.oval(*stations), Plain((0.0, shape.round_end * width)))


def seats(body: CreatureBody, group: Group) -> Iterator[Seat]:
    """Every pair of a group, from front to rear."""
    for pair, (share, on) in enumerate(_stations(body, group)):
        yield Seat(group, pair, share, on, _rooted(body, share * body.length + on, group))


def _stations(body: CreatureBody, group: Group) -> Iterator[tuple[float, float]]:
    """Share of the body's length and mm, a pair."""
    first, last, every = group.of("from"), group.of("to"), int(group.row["every"])
    if every == 0:
        for pair in range(group.pairs):
            yield first + (last - first) * (pair / max(group.pairs - 1, 1)), 0.0
        return
    # On the ribs themselves: the first that stands at or behind `from`.
    begin = body.zone[0] / body.length
    rib = max(0, math.ceil((first * body.length - body.rib(0)) / body.pitch - 1e-9))
    for pair in range(group.pairs):
        yield begin, body.rib(rib + pair * every) - body.zone[0]


def _rooted(body: CreatureBody, station: float, group: Group) -> Rooted:
    """Seen from `station`: out of the body's side, further up or down the more it rises or falls."""
    half_width, half_height = (float(size[0]) for size in body.trunk.smooth.half_sizes(np.array([station])))
    turn = math.radians(0.5 * group.of("rise"))
    y, z = half_width * math.cos(turn), half_height * math.sin(turn)
    leave = group.ways[0]
    aside = math.hypot(leave[1], leave[2])
    depth = min(ROOT_DEEP * math.hypot(y, z) / aside, ROOT_LONG * body.width / 2)
    return Rooted((-depth * leave[0], y - depth * leave[1], z - depth * leave[2]), depth, leave)
