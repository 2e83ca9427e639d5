"""Legs, feelers and tail fan of a craw. Left ones; the right ones are the same, handed."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from worker.strands.attach import leaves_at
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Point
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.styles.craw_body import CORE_HEIGHT, CrawBody
from worker.styles.directions import beyond, towards
from worker.styles.limbs import Limb, Rooted
from worker.styles.style import Params
from worker.styles.worm_parameters import number

FIRST_LEG, LAST_LEG = 0.56, 0.84
"""Where along a lobe the first and the last pair of legs stand (judgement)."""
LEG_FALL, LEG_END_FALL = -22.0, -38.0
"""Angle of a leg below level where it leaves, and at its tip (judgement)."""
FEELER_RISE, FEELER_YAW = 24.0, 9.0
"""Angles with which feelers leave the core: up, and from one to the next (judgement)."""
FEELER_ROOM = 0.7
"""Share of the core's half-width within which the feelers' roots stand side by side (judgement)."""
FAN_SPREAD = 40.0
"""Angle of the fan's outer blades to straight ahead (judgement)."""
FAN_THICKNESS = (0.20, 0.14, 0.11)
"""Thickness of a fan blade where it leaves the body, where it is widest and at its tip, over the body's height
(judgement)."""


def legs_span(body: CrawBody) -> float:
    """From the first pair of legs to the last, mm."""
    return (LAST_LEG - FIRST_LEG) * body.lobe_length


def legs(params: Params, body: CrawBody) -> Iterator[Strand]:
    """The left legs from front to rear: out of the lobe squarely, then swept back and down."""
    pairs, length = int(params["leg_pairs"]), number(params, "leg_length")
    root, tip, sweep = (number(params, name) for name in ("leg_root", "leg_tip", "leg_sweep"))
    for pair in range(pairs):
        share = (FIRST_LEG + LAST_LEG) / 2 if pairs == 1 else FIRST_LEG + (LAST_LEG - FIRST_LEG) * pair / (pairs - 1)
        inner = body.lobe_axis(share)
        leave = towards(90.0, LEG_FALL)
        depth = _depth(body, share, leave)
        way, arrive = towards(90.0 - 0.8 * sweep, -12.0), towards(90.0 - 1.3 * sweep, LEG_END_FALL)
        yield Limb(Rooted(inner, depth, leave), way, arrive, length, root, tip).strand(f"left leg {pair + 1}", "leg")


def feelers(params: Params, body: CrawBody) -> Iterator[tuple[Strand, bool]]:
    """Feelers that have a right counterpart, and the middle one of an odd number, which has none."""
    count, length = int(params["feelers"]), number(params, "feeler_length")
    root, tip = number(params, "feeler_root"), number(params, "feeler_tip")
    height = number(params, "body_height")
    x = body.end - 0.7 * CORE_HEIGHT * height
    room = FEELER_ROOM * body.core_half_width(x)
    for place in range((count + 1) // 2):
        # Two stand one step apart; three have one in the middle.
        steps = place if count % 2 else place + 0.5
        yaw = FEELER_YAW * steps
        inner = (x, min(1.2 * steps * root, room), 0.0)
        leave = towards(yaw, FEELER_RISE)
        ray = HermitePath((Knot(inner, leave), Knot(beyond(inner, leave, 2 * height), leave)))
        depth = leaves_at(ray, body.core, "feelers")
        way, arrive = towards(1.3 * yaw, 0.5 * FEELER_RISE), towards(2.0 * yaw, -0.2 * FEELER_RISE)
        middle = yaw == 0
        name = "middle feeler" if middle else f"left feeler {place + 1 - count % 2}"
        yield Limb(Rooted(inner, depth, leave), way, arrive, length, root, tip).strand(name, "feeler"), not middle


def fan(params: Params, body: CrawBody) -> Iterator[tuple[Strand, bool]]:
    """The blades ahead of the body: one straight ahead, and the left one, which has a counterpart."""
    reach = body.fan
    if reach == 0:
        return
    thick, middle, thin = (share * number(params, "body_height") for share in FAN_THICKNESS)
    inner = (body.begin + 0.3 * number(params, "body_height"), 0.0, 0.0)
    for name, yaw, share in (("middle fan blade", 180.0, 1.0), ("left fan blade", 180.0 - FAN_SPREAD, 0.95)):
        leave = towards(yaw)
        length = (inner[0] - body.begin) + share * reach
        tip = beyond(inner, leave, length)
        path = HermitePath((Knot(inner, leave), Knot(tip, leave)), (0.0, 1.0, 0.0))
        rooted = (inner[0] - body.begin) / length
        girth = Girth.oval(
            (0.0, 0.28 * reach, thick),
            (rooted, 0.28 * reach, thick),
            (rooted + 0.6 * (1 - rooted), 0.52 * reach, middle),
            (1.0, 0.42 * reach, thin),
        )
        yield Strand(name, "fan", path, girth, Plain((0.0, 0.24 * reach))), yaw != 180.0


def _depth(body: CrawBody, share: float, leave: Point) -> float:
    """From the lobe's path to its surface that way, at a share of its length."""
    width, back, belly = (float(size[0]) for size in body.left_lobe.smooth.sizes(np.array([share * body.lobe_length])))
    depth = 1 / math.hypot(leave[1] / width, leave[2] / (back if leave[2] > 0 else belly))
    floor = body.section.floor
    return depth if floor is None or leave[2] >= 0 else min(depth, floor / -leave[2])
