"""Flat limbs: what a claw, a flapper, a paddle, a curl or a wing is wide from its wrist to its tip, and their paths."""

from __future__ import annotations

import math
from dataclasses import dataclass

from worker.strands.hermite import Knot
from worker.strands.path import Point
from worker.styles.directions import beyond, towards

Stations = tuple[tuple[float, float], ...]

PALM = 0.52
"""Where a pincer's palm ends, over the claw's length (judgement)."""
STRAIGHT = 0.28
"""Share of a curled blade before its curl (judgement)."""
CURL_TURN = 200.0
"""Degrees that a curled blade turns by (judgement)."""


@dataclass(frozen=True)
class Shape:
    """Shares of the way from wrist to tip with the width there over the blade's; `round_end` its rounded end's length
    over the blade's width."""

    stations: Stations
    round_end: float


SHAPES: dict[str, Shape] = {
    "pincer": Shape(((0.12, 0.42), (0.25, 0.88), (0.36, 0.98), (PALM, 0.80)), 0.26),
    "flapper": Shape(((0.16, 0.42), (0.45, 0.78), (0.76, 1.0), (1.0, 0.8)), 0.42),
    "paddle": Shape(((0.28, 0.26), (0.44, 0.55), (0.70, 1.0), (1.0, 0.9)), 0.48),
    "curl": Shape(((0.10, 0.40), (0.35, 0.62), (0.75, 0.50), (1.0, 0.34)), 0.17),
    "wing": Shape(((0.10, 0.92), (0.35, 1.0), (0.70, 0.80), (1.0, 0.45)), 0.30),
}
"""Judgement, all of them."""


def curl(length: float, wrist: Point, spread: float, rise: float) -> tuple[Knot, ...]:
    """A straight stretch and an arc outward over the rest, as two Hermite curves."""
    ahead, aside = towards(spread, rise), towards(spread + 90.0)
    radius = (1 - STRAIGHT) * length / math.radians(CURL_TURN)
    middle = beyond(beyond(wrist, ahead, STRAIGHT * length), aside, radius)
    step = CURL_TURN / 2
    # The tangent with which a cubic runs closest to a circle's arc: 4 tan(angle / 4) radii.
    handle = 4 * math.tan(math.radians(step) / 4) * radius
    knots = [Knot(wrist, ahead, STRAIGHT * length, STRAIGHT * length)]
    for number_of_steps in range(3):
        turn = math.radians(number_of_steps * step)
        along, out = math.sin(turn), math.cos(turn)
        point = beyond(beyond(middle, ahead, radius * along), aside, -radius * out)
        direction = beyond(beyond((0.0, 0.0, 0.0), ahead, out), aside, along)
        knots.append(Knot(point, direction, handle if number_of_steps else STRAIGHT * length, handle))
    return tuple(knots)
