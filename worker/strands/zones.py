"""Zones: stretches of a strand where its relief gives way to the plain girth, or to a raised collar over it.

A smooth nose, a head, an egg band. The outline outside of a zone is left as it is, to the last bit; inside it are the
girth's own cubics, so nothing is sampled here either. Where a zone begins on a crest of the relief, the two meet
without a step; elsewhere an upright face lies between them, and the neck that is left at its foot stays a joint.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from worker.strands.cubics import Cubics
from worker.strands.outline import BLEND, BULGE, Outline, Pieces
from worker.strands.plain import cap, together
from worker.strands.zone_gaps import STEP, crests_and_gaps

FOOT = 0.35
"""Radius of the round at a collar's foot over how far the collar is raised (judgement)."""
SHOULDER = 1.5
"""Length of a collar's rounded shoulder over how far it is raised; never over a third of the collar (judgement)."""
LEVEL = 0.01
"""A girth that rises by less than this a millimetre is level to a head (judgement)."""
STEEPEST = 0.8
"""Steepest that a head's ellipse takes up, over the slope at which it would be a straight line (judgement)."""
WIDEST_FACE = 0.95
"""Greatest flat face of a round head over its full height: what is left is its edge's round (judgement)."""


@dataclass(frozen=True)
class Zone:
    """From `begin` to `end` mm along the path: the plain girth, `raised` mm outward.

    `cap`: the zone begins with an elliptic head of so many mm, 0 a flat face; None leaves the strand its own nose.
    `tip`: the same at the strand's other end. `face`: radius of the flat face that head and tip end in, mm, as where a
    bore opens.
    """

    begin: float
    end: float
    raised: float = 0.0
    cap: float | None = None
    tip: float | None = None
    face: float = 0.0

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        ends = {name: each for name, each in (("cap", self.cap), ("tip", self.tip)) if each is not None}
        face = {"face": self.face} if ends and self.face else {}
        return {"begin": self.begin, "end": self.end, "raised": self.raised, **ends, **face}


def applied(outline: Outline, top: Cubics, length: float, zones: tuple[Zone, ...]) -> Outline:
    """`outline` with every zone laid over it, one after the other; `top` is the girth along the path of `length` mm."""
    for zone in zones:
        outline = _with(outline, top, length, zone)
    return outline


def _with(outline: Outline, top: Cubics, length: float, zone: Zone) -> Outline:
    begin, end = _inside_of_the_ends(outline, length, zone)
    if end - begin < STEP:
        return outline
    before, behind = outline.pieces.between(-np.inf, begin), outline.pieces.between(end, np.inf)
    own = _pieces(outline, top, length, begin, end, zone)
    pieces = together(before, own, behind)
    crests, gaps = crests_and_gaps(outline, Outline(own, np.zeros(0), np.zeros(0), outline.gaps, 0.0), begin, end)
    return Outline(pieces, crests[0], crests[1], gaps, outline.blend)


def _inside_of_the_ends(outline: Outline, length: float, zone: Zone) -> tuple[float, float]:
    """Where the zone lies: it leaves the strand its own rounded nose, unless it brings a head, and its own tip."""
    pieces = outline.pieces
    begin, end = max(zone.begin, 0.0), min(zone.end, length)
    if zone.cap is not None:
        end = max(end, min(zone.begin + zone.cap, length))
    elif pieces.kind[0] == BULGE:
        begin = max(begin, min(float(pieces.end[0]), float(pieces.centre_x[0])))
    if zone.tip is not None:
        begin, end = min(begin, max(length - zone.tip, 0.0)), length
    elif pieces.kind[-1] == BULGE:
        end = min(end, max(float(pieces.begin[-1]), float(pieces.centre_x[-1])))
    return begin, end


def _pieces(outline: Outline, top: Cubics, length: float, begin: float, end: float, zone: Zone) -> Pieces:
    """What the zone itself is made of, from `begin` to `end`."""
    low, high = begin, end
    parts: list[Pieces] = []
    last: list[Pieces] = []
    if zone.cap is not None:
        low = min(begin + zone.cap, end)
        if low > begin:
            rise = float(top.slopes(np.array([low]))[0])
            parts.append(_rounded((begin, low), low, -1.0, top.height_at(low) + zone.raised, zone.face, rise))
    elif zone.raised > 0 and begin > 0:
        low, parts = _shoulder(outline, top, zone, begin, end, rising=True)
    if zone.tip is not None:
        high = max(end - zone.tip, low)
        if high < end:
            rise = -float(top.slopes(np.array([high]))[0])
            last.append(_rounded((high, end), high, 1.0, top.height_at(high) + zone.raised, zone.face, rise))
    elif zone.raised > 0 and end < length:
        high, last = _shoulder(outline, top, zone, begin, end, rising=False)
    if high - low > STEP:
        level = top.between(low, high)
        level = Cubics(**{**vars(level), "height": level.height + zone.raised})
        parts.append(level.pieces())
    return together(*parts, *last)


def _rounded(
    stretch: tuple[float, float], inner: float, outward: float, height: float, face: float, rise: float
) -> Pieces:
    """A head or a tip over a stretch: from its full height at `inner` an ellipse that falls to `face`, upright there.

    Where the girth goes on rising inwards the ellipse does so too, so that the two meet without a crease: its middle
    lies p further in. From h^2 = b^2 - k p^2, f^2 = b^2 - k (p + l)^2 and the slope m h = k p, k being b^2 / a^2:
    k l^2 = h^2 - f^2 - 2 l m h.
    """
    begin, end = stretch
    long, low = end - begin, min(face, WIDEST_FACE * height)
    rise = min(rise, STEEPEST * (height * height - low * low) / (2 * long * height))
    if rise < LEVEL:
        share = low / height
        return cap(inner, begin, end, long / math.sqrt(1 - share * share), height)
    fall = (height * height - low * low - 2 * long * rise * height) / (long * long)
    further = rise * height / fall
    greatest = math.sqrt(height * height + fall * further * further)
    return cap(inner - outward * further, begin, end, greatest / math.sqrt(fall), greatest)


def _shoulder(
    outline: Outline, top: Cubics, zone: Zone, begin: float, end: float, *, rising: bool
) -> tuple[float, list[Pieces]]:
    """Where a collar's level part begins (or ends), and the two arcs that lead there from what lies beside the zone.

    At the foot a quarter circle with the plastic outside, then a quarter ellipse with it inside; upright where they
    meet, so that neither leaves an edge.
    """
    edge, way = (begin, 1.0) if rising else (end, -1.0)
    girth = top.height_at(edge)
    beside = float(outline.height_beside(np.array([edge]), later=not rising)[0])
    foot = min(beside, girth) if beside > 0 else girth
    round_ = FOOT * zone.raised
    run = min(SHOULDER * zone.raised, (end - begin) / 3 - round_)
    if run <= 0:
        return edge, []
    upright, level = edge + way * round_, edge + way * (round_ + run)
    height = top.height_at(level) + zone.raised - foot - round_
    low, high = sorted((edge, upright))
    concave = _arc(BLEND, low, high, edge, foot + round_, round_, round_)
    low, high = sorted((upright, level))
    convex = _arc(BULGE, low, high, level, foot + round_, run, height)
    return level, [concave, convex] if rising else [convex, concave]


def _arc(
    kind: int, begin: float, end: float, centre_x: float, centre_y: float, half_length: float, half_height: float
) -> Pieces:
    values = (begin, end, centre_x, centre_y, half_length, half_height, 0.0, 0.0, 0.0)
    return Pieces(np.array([kind]), *(np.array([value]) for value in values))
