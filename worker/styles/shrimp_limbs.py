"""What grows out of a shrimp: fan, horn, eyes, feelers, walking legs, swimmerets. Left ones; right ones are handed.

Each is a strand that has not grown to the trunk yet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from worker.strands.attach import leaves_at
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Point
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.styles.directions import beyond, curve_of, level_left, towards
from worker.styles.limbs import Limb, Rooted, thinning
from worker.styles.shrimp_body import ShrimpBody, Spot
from worker.styles.style import Params
from worker.styles.tracks import Track
from worker.styles.worm_parameters import number

LEAST_HORN, LEAST_EYE = 2.0, 1.5
"""Shorter horns and smaller eyes are left out, mm: they would be all root."""
OUTER_LOBE = 0.96
"""Reach of the outer lobes over the middle one's (judgement)."""
LOBE_ROOT = 0.6
"""Width of a lobe where it leaves the abdomen over its greatest (judgement)."""
HORN_WIDTH, STALK = 0.6, 0.62
"""Width of the horn over its height, and of an eye's stalk over the eye (judgement)."""
EYE = 2.0
"""How far an eye reaches from the carapace, stalk and all, over its diameter (judgement)."""
HORN_TIP = 0.4
"""Thickness of the horn's tip over its height at the root (judgement)."""
FLAP, FLAP_ROOM = 1.8, 0.48
"""Greatest width of a swimmeret over its thickness at the root, and over its segment's plate (judgement)."""
FIRST_LEG, LAST_LEG = 0.38, 0.92
"""Where the first and the last pair of walking legs stand, over the carapace's length (judgement)."""


@dataclass(frozen=True)
class _Bow:
    """How a feeler leaves the head and bows: its place along the carapace and up from the middle (shares of its length
    and half-height), its direction there, the radius over the carapace's width, and its share of the length."""

    at: float
    up: float
    yaw: float
    rise: float
    radius: float
    share: float


FEELERS = (_Bow(0.22, -0.30, 132.0, 4.0, 0.44, 1.0), _Bow(0.34, -0.45, 118.0, -20.0, 0.26, 0.7))
"""The long pair, and the shorter one inside of it and below (judgement)."""


@dataclass(frozen=True)
class ShrimpLimbs:
    """The limbs of one body, from `params` that the body need not have."""

    body: ShrimpBody
    params: Params

    def _of(self, name: str) -> float:
        return number(self.params, name)

    def _count(self, name: str) -> int:
        return int(self.params[name])

    def fan(self) -> Iterator[Strand]:
        """The lobe in the middle of an odd number, and the left ones from the middle out."""
        count, outermost = self._count("fan_lobes"), (self._count("fan_lobes") - 1) / 2
        for place in range((count + 1) // 2):
            steps = place if count % 2 else place + 0.5
            angle = math.radians(self._of("fan_spread") * steps / outermost) if outermost else 0.0
            name = "middle fan lobe" if steps == 0 else f"left fan lobe {place + 1 - count % 2}"
            yield self._lobe(name, angle, 1.0 if steps == 0 else OUTER_LOBE)

    def _lobe(self, name: str, angle: float, share: float) -> Strand:
        end, deep = self.body.end.place, self.body.fan_deep
        way, aside = end.way(math.cos(angle), math.sin(angle)), end.way(-math.sin(angle), math.cos(angle))
        inner = end.at(-deep)
        whole = deep + share * self._of("fan_length")
        path = HermitePath((Knot(inner, way), Knot(beyond(inner, way, whole), way)), aside)
        broad, thick, rooted = self._of("fan_width"), self._of("fan_thickness"), deep / whole
        # Wide at once and ever less so: two lobes that have parted do not meet again further out.
        girth = Girth.oval(
            (0.0, 0.64 * LOBE_ROOT * broad, thick),
            (rooted, LOBE_ROOT * broad, thick),
            (rooted + 0.34 * (1 - rooted), 0.87 * broad, 0.83 * thick),
            (rooted + 0.68 * (1 - rooted), broad, 0.66 * thick),
            (1.0, 0.8 * broad, 0.5 * thick),
        )
        return Strand(name, "fan", path, girth, Plain((0.0, 0.4 * broad)))

    def horn(self) -> Iterator[Strand]:
        """A blade on edge, out of the top of the carapace."""
        reach = self._of("horn")
        if reach < LEAST_HORN:
            return
        root, spot = self._of("horn_root"), self.body.spot(0.42 * self.body.carapace)
        inner = spot.place.at(0.0, 0.0, 0.5 * spot.half_height)
        leave = towards(180.0, 9.0)
        depth = leaves_at(_ray(inner, leave, 2 * self.body.carapace), self.body.trunk, "horn")
        tip = inner[0] - self.body.begin + reach
        knots = (Knot(inner, leave), Knot(beyond(inner, leave, tip), leave))
        path, rooted = HermitePath(knots, (0.0, -1.0, 0.0)), depth / tip
        thin = max(HORN_TIP * root, 0.8)
        girth = Girth.oval((0.0, HORN_WIDTH * root, root), (rooted, HORN_WIDTH * root, root), (1.0, thin, thin))
        yield Strand("horn", "horn", path, girth, Plain((0.0, thin / 2)))

    def eyes(self) -> Iterator[Strand]:
        """The left eye: a ball on a short stalk."""
        across = self._of("eye_stalks")
        if across < LEAST_EYE:
            return
        spot = self.body.spot(0.2 * self.body.carapace)
        leave = _unit(spot.place.way(-0.36, 0.88, 0.30))
        inner = spot.place.at(0.0, 0.0, 0.28 * spot.half_height)
        depth = leaves_at(_ray(inner, leave, 4 * spot.half_height), self.body.trunk, "eyes")
        whole = depth + EYE * across
        path = HermitePath((Knot(inner, leave), Knot(beyond(inner, leave, whole), leave)), level_left(leave))
        stalk, ball = STALK * across, (whole - across / 2) / whole
        girth = Girth.circular((0.0, stalk), ((depth + 0.8 * across) / whole, stalk), (ball, across), (1.0, across))
        yield Strand("left eye", "eye", path, girth, Plain((0.0, across / 2)))

    def feelers(self) -> Iterator[Strand]:
        """Out of the head ahead and aside, round, and back along the body."""
        root, tip, broad = self._of("feeler_root"), self._of("feeler_tip"), self._of("carapace_width")
        for pair in range(self._count("feelers")):
            bow = FEELERS[pair]
            spot = self.body.spot(bow.at * self.body.carapace)
            leave = towards(bow.yaw, bow.rise)
            inner = spot.place.at(0.0, 0.30 * spot.half_width, bow.up * spot.half_height)
            depth = leaves_at(_ray(inner, leave, 6 * spot.half_height), self.body.trunk, "feelers")
            rooted, length = Rooted(inner, depth, leave), bow.share * self._of("feeler_length")
            turns = ((bow.yaw - 24.0, bow.radius * broad + 2 * root), (14.0, 3.0 * broad))
            straight = 0.8 * root
            rest = length - straight - sum(math.radians(angle) * radius for angle, radius in turns)
            rest = max(rest, 0.2 * length) / 2
            track = Track.from_point(rooted.surface, leave, towards(bow.yaw - 90.0)).straight(straight)
            track = track.arc(*turns[0]).straight(rest).arc(*turns[1]).straight(rest)
            path = HermitePath(rooted.knots(track.knots), level_left(leave))
            yield thinning(f"left feeler {pair + 1}", "feeler", path, depth, root, tip)

    def legs(self) -> Iterator[Strand]:
        """Walking legs, from front to rear: down and aside, then back."""
        pairs, root, tip = self._count("leg_pairs"), self._of("leg_root"), self._of("leg_tip")
        for pair in range(pairs):
            share = FIRST_LEG + (LAST_LEG - FIRST_LEG) * ((pair + 0.5) / pairs if pairs == 1 else pair / (pairs - 1))
            spot = self.body.spot(share * self.body.carapace)
            rooted = _below(spot, 56.0, root)
            way = _unit(spot.place.way(0.34, 0.58, -0.80))
            arrive = _unit(spot.place.way(0.80, 0.22, -0.62))
            limb = Limb(rooted, way, arrive, self._of("leg_length"), root, tip)
            yield limb.strand(f"left leg {pair + 1}", "leg")

    def swimmerets(self) -> Iterator[Strand]:
        """A small flap a segment, from the first on, no wider than its segment has room for."""
        root, tip, length = self._of("leg_root"), self._of("leg_tip"), self._of("swimmeret_length")
        broad = min(FLAP * root, max(FLAP_ROOM * self.body.plate, root))
        for pair in range(self._count("swimmerets")):
            spot = self.body.spot(self.body.carapace + (pair + 0.62) * self.body.plate)
            rooted = _below(spot, 62.0, root)
            way, arrive = _unit(spot.place.way(0.38, 0.28, -0.88)), _unit(spot.place.way(0.70, 0.05, -0.70))
            knots = rooted.knots(curve_of(length, rooted.surface, rooted.leave, way, arrive))
            path = HermitePath(knots, spot.place.ahead)
            begin = rooted.depth / path.length
            girth = Girth.oval(
                (0.0, root, root),
                (begin, root, root),
                (begin + 0.6 * (1 - begin), broad, 0.6 * tip + 0.4 * root),
                (1.0, 0.8 * broad, tip),
            )
            yield Strand(f"left swimmeret {pair + 1}", "leg", path, girth, Plain((0.0, 0.45 * broad)))


def _below(spot: Spot, angle: float, root: float) -> Rooted:
    """Out of the belly, `angle` degrees below the side, squarely."""
    turn = math.radians(angle)
    y, z = spot.half_width * math.cos(turn), spot.half_height * math.sin(turn)
    leave = _unit(
        spot.place.way(0.0, y / (spot.half_width * spot.half_width), -z / (spot.half_height * spot.half_height))
    )
    skin = spot.place.at(0.0, y, -z)
    depth = max(0.6 * min(spot.half_width, spot.half_height), 0.9 * root)
    return Rooted(beyond(skin, leave, -depth), depth, leave)


def _ray(begin: Point, way: Point, length: float) -> HermitePath:
    return HermitePath((Knot(begin, way), Knot(beyond(begin, way, length), way)))


def _unit(direction: Point) -> Point:
    size = math.sqrt(sum(part * part for part in direction))
    x, y, z = (part / size for part in direction)
    return x, y, z
