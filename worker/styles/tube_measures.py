"""A tube's own arithmetic: how thick its tentacles are, what its hollows take away and what they leave standing."""

from __future__ import annotations

import math

from worker.strands.ligament import Ligament
from worker.strands.taken import Taken
from worker.styles.style import Params
from worker.styles.worm_parameters import number

ROOT = 0.3
"""How much of a cut its rounded root leaves standing, as a length over half its width: about 1 - pi / 4, and a little
for the wall's corners."""


def solid_length(params: Params) -> float:
    """Length of the solid head, mm."""
    return number(params, "solid_head") / 100 * number(params, "length")


def cut_from(params: Params) -> float:
    """Where the tentacles begin, mm from the nose."""
    return (1 - number(params, "tentacle_length") / 100) * number(params, "length")


def tentacle_thickness(params: Params) -> float:
    """Diameter, mm, of the largest ball that goes through a tentacle.

    Between two flat sides half the cut off the radii, and the outer wall: q = r sin(pi / n) - cut / 2, q = R - r.
    """
    sine = _sine(params)
    return min(
        number(params, "wall"), 2 * (number(params, "outer") / 2 * sine - number(params, "cut_width") / 2) / (1 + sine)
    )


def tentacle_area(params: Params) -> float:
    """Section of one tentacle, mm2: its share of the wall less one cut through it."""
    outer, inner = radii(params)
    cut = _strip(outer, number(params, "cut_width") / 2) - _strip(inner, number(params, "cut_width") / 2)
    return math.pi * (outer * outer - inner * inner) / int(params["tentacles"]) - cut


def _strip(radius: float, half: float) -> float:
    """What a strip, `half` to each side of the middle, takes out of a disk on one side of its middle; mm2."""
    return half * math.sqrt(radius * radius - half * half) + radius * radius * math.asin(half / radius)


def radii(params: Params) -> tuple[float, float]:
    """Outer and inner radius, mm."""
    outer = number(params, "outer") / 2
    return outer, outer - number(params, "wall")


def _sine(params: Params) -> float:
    return math.sin(math.pi / int(params["tentacles"]))


def taken(params: Params) -> Taken:
    """The inside, a rod with a round end, and the cuts, flat strips of the wall; their rounded roots leave a little."""
    outer, inner = radii(params)
    count, half = int(params["tentacles"]), number(params, "cut_width") / 2
    inside = number(params, "length") - solid_length(params) - inner
    cut = number(params, "tentacle_length") / 100 * number(params, "length") - ROOT * half
    strip = _strip(outer, half) - _strip(inner, half)
    side = math.sqrt(outer * outer - half * half) - math.sqrt(inner * inner - half * half)
    opened = 2 * outer * math.asin(half / outer) + 2 * inner * math.asin(half / inner)
    return Taken(
        frozenset({"inside", *(f"cut {place + 1}" for place in range(count))}),
        math.pi * inner * inner * (inside + 2 / 3 * inner) + count * strip * cut,
        # The rear's disk is lost to the inside, and to the cuts as much as their roots' faces give.
        2 * math.pi * inner * (inside + inner) - math.pi * inner * inner + count * cut * (2 * side - opened),
    )


def ligaments(params: Params) -> tuple[Ligament, ...]:
    """The wall ahead of the tentacles, and one tentacle; the end of a cut is round."""
    wall, begin = number(params, "wall"), cut_from(params)
    outer, inner = radii(params)
    around, across = math.pi * (outer * outer - inner * inner), tentacle_thickness(params)
    return (
        Ligament(
            "wall", "trunk", begin, around, wall, math.pi * outer * outer, inner, f"The wall of {wall:.3g} mm holds"
        ),
        Ligament(
            "tentacle",
            "tentacle",
            begin,
            tentacle_area(params),
            across,
            around / int(params["tentacles"]),
            number(params, "cut_width") / 2,
            f"A tentacle of {across:.3g} mm holds",
        ),
    )
