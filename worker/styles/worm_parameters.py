"""Parameters that the worms share, and what they cannot be together."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.beads import Beads
from worker.strands.girth import Girth
from worker.styles.style import Params
from worker.values.parameter import Parameter

CLOSEST = 0.15
"""Least pitch over a bead's length: closer, the beads are a plain rod and only cost triangles (judgement)."""

LENGTH = Parameter(
    "length",
    "length",
    "Length",
    "Overall, as moulded.",
    default=127.0,
    minimum=50.0,
    maximum=300.0,
    step=1.0,
    unit="mm",
)
BEAD_DIAMETER = Parameter(
    "bead_diameter",
    "length",
    "Bead diameter",
    "Width of the first bead, behind the nose.",
    default=9.0,
    minimum=4.0,
    maximum=20.0,
    step=0.1,
    unit="mm",
    figure="bead_diameter",
)
JOINT_BLEND = Parameter(
    "joint_blend",
    "length",
    "Joint blend",
    "Radius of the round that fills the crease between two beads; 0 leaves it sharp.",
    default=0.8,
    minimum=0.0,
    maximum=3.0,
    step=0.1,
    unit="mm",
    figure="joint_blend",
)
BEAD_LENGTH_RATIO = Parameter(
    "bead_length_ratio",
    "number",
    "Bead length ratio",
    "Length of a bead over its width: 1 is round, more is drawn out.",
    default=1.0,
    minimum=0.5,
    maximum=2.0,
    step=0.05,
    figure="bead_length_ratio",
)
BEAD_HEIGHT_RATIO = Parameter(
    "bead_height_ratio",
    "number",
    "Bead height ratio",
    "Height of a bead over its width: under 1 the worm is flattened.",
    default=1.0,
    minimum=0.6,
    maximum=1.2,
    step=0.05,
    figure="bead_height_ratio",
)
TAPER = Parameter(
    "taper",
    "number",
    "Taper",
    "Width of the last bead over the first.",
    default=1.0,
    minimum=0.4,
    maximum=1.0,
    step=0.05,
    figure="taper",
)


def bead_count(default: int) -> Parameter:
    """How many beads there are from end to end."""
    return Parameter(
        "bead_count",
        "whole",
        "Bead count",
        "Beads from end to end; more beads in the same length overlap more and hold more.",
        default=default,
        minimum=3,
        maximum=200,
        step=1,
        figure="bead_count",
    )


def number(params: Params, name: str) -> float:
    """A numeric parameter."""
    return float(params[name])


def bead_girth(params: Params) -> Girth:
    """The straight girth whose width is the bead's at the first bead's centre, and tapered at the last one's."""
    length, width = number(params, "length"), number(params, "bead_diameter")
    last_width = width * number(params, "taper")
    ratio = number(params, "bead_length_ratio")
    first, last = ratio * width / 2, length - ratio * last_width / 2
    fall = (width - last_width) / (last - first)
    at_nose, at_tail = width + fall * first, last_width - fall * (length - last)
    height = number(params, "bead_height_ratio")
    return Girth.oval((0.0, at_nose, at_nose * height), (1.0, at_tail, at_tail * height))


def _bead_lengths(params: Params, count: int, share: float) -> float:
    """Length of a bait over its first bead's width when `count` beads stand `share` of their length apart.

    By the geometric series that equal overlap on a straight girth makes of the bead widths.
    """
    taper, ratio = number(params, "taper"), number(params, "bead_length_ratio")
    shrink = math.pow(taper, 1 / (count - 1))
    together = count - 1 if shrink == 1 else (1 - taper) / (1 - shrink)
    return ratio * ((1 + taper) / 2 + share * (1 + shrink) / 2 * together)


def infeasible_beads(params: Params) -> Iterator[Fault]:
    """Beads too long for the bait, or so many that they vanish into one another."""
    length, width, count = number(params, "length"), number(params, "bead_diameter"), int(params["bead_count"])

    def widest(beads: int) -> float:
        """Widest first bead, mm, that leaves so many beads told apart."""
        return length / _bead_lengths(params, beads, CLOSEST)

    if width <= widest(count) * (1 + 1e-12):
        return
    most = next((fewer for fewer in range(count - 1, 2, -1) if width <= widest(fewer)), None)
    if most is None:
        allowed = math.floor(10 * widest(count if widest(count) >= BEAD_DIAMETER.minimum else 3)) / 10
        beads = f"{width * number(params, 'bead_length_ratio'):g}"
        detail = f"Beads {beads} mm long do not fit into a bait {length:.5g} mm long; {allowed:g} mm wide they do."
        yield Fault(
            "/params/bead_diameter", "beads-too-long", detail, {"minimum": 4.0, "maximum": allowed, "unit": "mm"}
        )
    else:
        detail = (
            f"{count} beads of {width:g} mm in {length:.5g} mm lie so close that they vanish into one another; "
            f"at most {most} can be told apart."
        )
        yield Fault("/params/bead_count", "beads-too-close", detail, {"minimum": 3, "maximum": most})


def hidden_beads(params: Params, beads: Beads) -> Iterator[Fault]:
    """Beads that shrink so fast that one lies wholly inside its neighbour."""
    if number(params, "taper") == 1:
        return
    if beads.hides_one(bead_girth(params), number(params, "length")):
        detail = (
            f"At a taper of {number(params, 'taper'):g} over {int(params['bead_count'])} beads so close, a bead lies "
            "wholly inside the one before it; taper less, take smaller beads or more length."
        )
        yield Fault("/params/taper", "beads-hidden", detail, {"minimum": number(params, "taper"), "maximum": 1.0})
