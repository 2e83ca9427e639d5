"""The claws of a craw: an arm, a thin wrist, and what it carries. The right claw is the left one, handed.

Everything behind the wrist is rigid: its reach is known before its place is, so that the wrist can be put where the
claws end exactly at the bait's overall length.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from worker.measures.strand.extent import furthest
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Point
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.strands.vectors import cross
from worker.styles.blades import PALM, SHAPES, Stations, curl
from worker.styles.craw_body import CrawBody
from worker.styles.craw_parameters import CLAWS
from worker.styles.directions import beyond, curve_of, level_left, towards
from worker.styles.placing import place_on
from worker.styles.style import Params
from worker.styles.worm_parameters import number
from worker.values.parameter import Value

BOW = 12.0
"""A claw leaves its wrist this many degrees further out than its spread, and ends as many further in (judgement)."""
FINGERS_FROM = 0.25
"""Where a pincer's fingers are rooted, over the claw's length (judgement)."""
ARM = 1.2
"""Thickness of the arm at its root over the wrist's (judgement)."""
ARM_SPREAD = 0.5
"""Angle of the arm over the claw's spread (judgement)."""
DEEPEST_ROOT = 0.16
"""How far ahead of a lobe's end a claw's path begins, over the lobe's length (judgement)."""

FINGER_BASE = 0.35
"""The fingers open around the spread less this share of the bow (judgement)."""
FINGER: Stations = ((0.0, 0.20), (0.26, 0.42), (0.5, 0.40), (0.8, 0.26), (1.0, 0.16))
"""A finger: share of its length, and its width over the claw's (judgement)."""
FINGER_ASIDE = 0.17
"""How far a finger's root lies beside the middle of the palm, over the claw's width (judgement)."""
FINGER_FLATTER = 0.97
"""Thickness of a finger over the palm's at the same place, so that neither face lies in the other (judgement)."""
FINGER_ROOT = 0.85
"""The same at its root. The palm is an ellipse and so thinner beside its middle, 0.92 of its thickness where a finger
is rooted: a thicker root would graze its face and end there in a step."""


@dataclass(frozen=True)
class Claw:
    """The left claw of a craw; mm and degrees."""

    params: Params
    body: CrawBody

    def _of(self, name: str) -> float:
        return number(self.params, name)

    @property
    def kind(self) -> str:
        """pincer, flapper, paddle or curl."""
        return str(self.params["claws"])

    @property
    def length(self) -> float:
        """From the wrist to the tip, along the claw."""
        return self._of("claw_length") / 100 * self._of("length")

    def _knots(self, wrist: Point) -> tuple[Knot, ...]:
        """The path behind the wrist."""
        spread, rise = self._of("claw_spread"), self._of("claw_rise")
        if self.kind == "curl":
            return curl(self.length, wrist, spread, rise)
        leave, arrive = towards(spread + BOW, rise), towards(spread - BOW, rise)
        first, last = curve_of(self.length, wrist, leave, towards(spread, rise), arrive)
        if self.kind != "pincer":
            return first, last
        whole = HermitePath((first, last))
        end = _at(whole, PALM * whole.length)
        return curve_of(PALM * self.length, wrist, leave, *_chord(wrist, *end))

    def _girth(self, arm: float, length: float) -> Girth:
        """Stations along a path whose first `arm` mm lead to the wrist."""
        width, height = self._of("wrist_width"), self._of("wrist_height")
        broad = self._of("claw_width")
        stations = [(0.0, ARM * width, ARM * height), (arm / length, width, height)]
        for share, wide in SHAPES[self.kind].stations:
            at = min((arm + share * self.length) / length, 1.0)
            stations.append((at, max(wide * broad, width), self._thickness(share)))
        return Girth.oval(*stations)

    def _thickness(self, share: float) -> float:
        """At a share of the way from wrist to tip."""
        thick, thin = self._of("claw_thickness"), self._of("claw_tip_thickness")
        return thick + share * (thin - thick)

    def _palm(self, begin: Point, wrist: Point) -> Strand:
        """Arm and claw, a pincer's up to the end of its palm."""
        apart = (wrist[0] - begin[0]) / self._arm_way[0]
        first, *rest = self._knots(wrist)
        knots = (Knot(begin, self._arm_way, 0.0, apart), replace(first, before=apart), *rest)
        path = HermitePath(knots, level_left(self._arm_way))
        behind = PALM * self.length if self.kind == "pincer" else self.length
        girth = self._girth(path.length - behind, path.length)
        round_end = SHAPES[self.kind].round_end * self._of("claw_width")
        return Strand("left claw", "claw", path, girth, Plain((0.0, round_end)))

    def _fingers(self, palm: Strand) -> tuple[Strand, ...]:
        """The outer and the inner finger of a pincer: rooted in the palm, bowed, their tips turned to each other.

        They lie in it as it is turned there: a claw that rises while it bows rolls a little.
        """
        if self.kind != "pincer":
            return ()
        spread, rise, half_gap = self._of("claw_spread"), self._of("claw_rise"), self._of("finger_gap") / 2
        broad, base = self._of("claw_width"), spread - FINGER_BASE * BOW
        rooted = place_on(palm.path, palm.path.length - (PALM - FINGERS_FROM) * self.length)
        middle, aside = rooted.origin, rooted.left
        fingers = []
        for name, side, reach in (("outer", 1.0, 1.0), ("inner", -1.0, 0.93)):
            root = beyond(middle, aside, side * FINGER_ASIDE * broad)
            yaws = (base + side * turn for turn in (half_gap + 9.0, half_gap, half_gap - 22.0))
            leave, way, arrive = (towards(yaw, rise) for yaw in yaws)
            knots = curve_of(reach * (1 - FINGERS_FROM) * self.length, root, leave, way, arrive)
            stations = []
            for at, share in FINGER:
                along = FINGERS_FROM + at * (1 - FINGERS_FROM)
                flatter = FINGER_FLATTER if at else FINGER_ROOT
                stations.append((at, share * broad, flatter * self._thickness(along)))
            strand = Strand(
                f"left claw {name} finger",
                "claw",
                HermitePath(knots, aside),
                Girth.oval(*stations),
                Plain((0.0, 0.1 * broad)),
            )
            fingers.append(strand)
        return tuple(fingers)

    @cached_property
    def reach(self) -> float:
        """How far the claw ends behind its wrist, along the bait."""
        return _reach(tuple((name, self.params[name]) for name in _ASKED))

    def far_end(self) -> float:
        """The same, worked out."""
        # The arm's shape is free of its length, and with it the way in which the claw is turned behind it.
        origin = (0.0, 0.0, 0.0)
        palm = self._palm(beyond(origin, self._arm_way, -self.length), origin)
        return furthest((palm, *self._fingers(palm)), 0, 1.0)

    @cached_property
    def wrist(self) -> Point:
        """Where the wrist stands, so that the claw ends at the overall length."""
        x = self._of("length") - self.reach
        from_x, from_y, from_z = self._shoulder
        share = (x - from_x) / self._arm_way[0]
        return x, from_y + share * self._arm_way[1], from_z + share * self._arm_way[2]

    @property
    def _arm_way(self) -> Point:
        return towards(ARM_SPREAD * self._of("claw_spread"), self._of("claw_rise"))

    @property
    def _shoulder(self) -> Point:
        return self.body.lobe_axis(1 - DEEPEST_ROOT)

    def strands(self) -> tuple[Strand, ...]:
        """Arm and claw, and the fingers of a pincer."""
        palm = self._palm(self._shoulder, self.wrist)
        return (palm, *self._fingers(palm))


_ASKED = ("length", *(parameter.name for parameter in CLAWS))


@lru_cache(maxsize=64)  # asked before a bait is taken and to make it, and by every remedy that leaves the claws alone
def _reach(items: tuple[tuple[str, Value], ...]) -> float:
    params = dict(items)
    return Claw(params, CrawBody(params)).far_end()


def _at(path: HermitePath, station: float) -> tuple[Point, Point]:
    """Point and direction at a station."""
    points, left, back = path.frames(np.array([station]))
    tangent = cross(left, back)
    return tuple(points[0].tolist()), tuple(tangent[0].tolist())


def _chord(begin: Point, end: Point, arrive: Point) -> tuple[Point, Point]:
    way = tuple(e - b for e, b in zip(end, begin, strict=True))
    size = sum(w * w for w in way) ** 0.5
    return (way[0] / size, way[1] / size, way[2] / size), arrive
