"""Where a shrimp begins and how long its abdomen is, so that all of it is exactly as long as asked."""

from __future__ import annotations

import math

from worker.measures.strand.extent import furthest
from worker.strands.strand import Strand
from worker.styles.shrimp_body import ShrimpBody
from worker.styles.shrimp_limbs import ShrimpLimbs
from worker.styles.style import Params
from worker.styles.worm_parameters import number

USUAL = 0.42
"""Length of an abdomen over the shrimp's, to begin with: nothing ahead of it depends on it."""
SHORTEST_PLATE = 1.5
"""Least length of a plate, mm: that of a rib."""
SETTLED = 1e-7
"""mm."""


class NoAbdomen(ValueError):
    """Horn, carapace and fan leave `left` mm for the abdomen, and it takes `needed` mm."""

    def __init__(self, left: float, needed: float) -> None:
        super().__init__("there is no room for an abdomen")
        self.left, self.needed = left, needed


def body_of(params: Params) -> ShrimpBody:
    """The body that makes the bait as long as asked. Raises NoAbdomen."""
    length, arch = number(params, "length"), math.radians(number(params, "arch"))
    guess = ShrimpBody(params, USUAL * length)
    limbs = ShrimpLimbs(guess, params)
    ahead = (guess.trunk, *limbs.horn(), *limbs.eyes(), *limbs.feelers())
    begin = -furthest(ahead, 0, -1.0)
    fan = furthest(list(limbs.fan()), 0, 1.0) - guess.end.place.origin[0]
    along = math.sin(arch) / arch if arch > 0 else 1.0
    # The fan is rigid at the abdomen's end, which the arc puts so far along the bait.
    abdomen = (length - begin - guess.carapace - fan) / along
    least = SHORTEST_PLATE * int(params["segments"])
    if abdomen < least:
        raise NoAbdomen(abdomen, least)
    body = ShrimpBody(params, abdomen, begin)
    return body if _over(body) <= SETTLED else _within(body, least)


def _over(body: ShrimpBody) -> float:
    """By how much the trunk itself reaches past the length: one that arches past upright."""
    return _reach(body.trunk) - number(body.params, "length")


def _reach(strand: Strand) -> float:
    return furthest([strand], 0, 1.0)


def _within(body: ShrimpBody, least: float) -> ShrimpBody:
    """The body whose trunk ends at the length: its reach grows with the abdomen, almost evenly."""
    longer, over = body.abdomen, _over(body)
    shorter = longer - over
    for _ in range(12):
        if shorter < least:
            raise NoAbdomen(shorter, least)
        nearer = ShrimpBody(body.params, shorter, body.begin)
        rest = _over(nearer)
        if abs(rest) <= SETTLED:
            break
        slope = (over - rest) / (longer - shorter)
        longer, over, shorter = shorter, rest, shorter - rest / slope
    return nearer
