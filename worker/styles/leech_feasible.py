"""What the parameters of a leech cannot be together."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from worker.errors import Fault
from worker.strands.rings_relief import Rings
from worker.strands.turning import ROOM
from worker.styles.leech_body import (
    LEAST_SUCKER,
    NOSE_THICKNESS,
    RIBS_FROM,
    RIBS_TO,
    end_of,
    girth_of,
    halves_of,
    relief_of,
    sucker_of,
)
from worker.styles.leech_edge import exponent_of, thickest_edge
from worker.styles.leech_parameters import EDGE, RIB_DEPTH
from worker.styles.ring_faults import ring_faults
from worker.styles.style import Params
from worker.styles.worm_parameters import number
from worker.values.told_bounds import at_most

DEEPEST_RIB = 0.2
"""Greatest rib depth over the body's thickness where it carries ribs (judgement)."""
FLATTEST = 0.85
"""Greatest thickness over the width: a leech is flat (judgement)."""


def faults(params: Params) -> Iterator[Fault]:
    """What the numbers cannot be."""
    found = [*_sizes(params), *_ribs(params)]
    if not found:
        found = [*_edges(params), *_waves(params)]
    yield from found


def _sizes(params: Params) -> Iterator[Fault]:
    width, thick, sucker = (number(params, name) for name in ("width", "thickness", "sucker"))
    flat = round(FLATTEST * width, 4)
    if thick > flat:
        detail = f"A leech {width:g} mm wide and {thick:g} mm thick is not flat; up to {flat:g} mm it is."
        yield Fault("/params/thickness", "not-flat", detail, {"minimum": 3.0, "maximum": flat, "unit": "mm"})
    for name, most, what in (
        ("head_width", width, "head"),
        ("tail_width", width, "tail"),
        ("tail_thickness", min(thick, FLATTEST * number(params, "tail_width")), "tail"),
    ):
        if number(params, name) > most + 1e-9:
            most = at_most(most)
            kind = "wide" if name.endswith("width") else "thick"
            detail = f"A {what} {number(params, name):g} mm {kind} is more than its body; at most {most:g} mm is not."
            yield Fault(f"/params/{name}", f"{what}-too-{kind}", detail, {"maximum": most, "unit": "mm"})
    least = round(NOSE_THICKNESS * thick / FLATTEST, 4)
    if number(params, "head_width") < least - 1e-9:
        detail = f"A head {NOSE_THICKNESS * thick:.3g} mm thick is flat from {least:g} mm of width up."
        yield Fault("/params/head_width", "head-not-flat", detail, {"minimum": least, "maximum": width, "unit": "mm"})
    if 0 < sucker < LEAST_SUCKER or 0 < sucker_of(params) < number(params, "tail_width"):
        least = max(LEAST_SUCKER, number(params, "tail_width"))
        detail = f"A sucker of {sucker:g} mm vanishes in a tail of {number(params, 'tail_width'):g} mm; "
        detail += f"{least:g} mm does not, and 0 leaves it out." if least <= 10 else "take a narrower tail, or none."
        least, most = (least, 10.0) if least <= 10 else (0.0, 0.0)
        yield Fault("/params/sucker", "sucker-too-small", detail, {"minimum": least, "maximum": most, "unit": "mm"})


def _deepest(params: Params) -> float:
    """Greatest rib depth, mm."""
    thin = 2 * float(girth_of(params).backs(1.0).heights(np.array([RIBS_FROM, RIBS_TO])).min())
    deepest = min(Rings.deepest(number(params, "rib_pitch")), DEEPEST_RIB * thin)
    return min(math.floor(1e4 * deepest) / 1e4, RIB_DEPTH.maximum)


def _ribs(params: Params) -> Iterator[Fault]:
    depth, most = number(params, "rib_depth"), _deepest(params)
    if depth > most:
        detail = f"Ribs {depth:g} mm deep leave too little between them, or of the tail; {most:.3g} mm does not."
        yield Fault("/params/rib_depth", "ribs-too-deep", detail, {"minimum": 0.0, "maximum": most, "unit": "mm"})
        return
    length = end_of(params)
    yield from ring_faults("/params/rib_depth", relief_of(params, length), girth_of(params), length, most)


def _edges(params: Params) -> Iterator[Fault]:
    halves, edge, thick = halves_of(params), number(params, "edge"), number(params, "thickness")
    flattest = math.floor(100 * (0.5 - edge / (2 * thick)) + 1e-9) / 100
    if number(params, "flat_belly") > flattest:
        detail = f"A belly cut so far up leaves less of the edges than their {edge:g} mm; {flattest:g} does not."
        yield Fault("/params/flat_belly", "belly-too-flat", detail, {"minimum": 0.0, "maximum": flattest})
    if exponent_of(halves, edge) is not None:
        return
    most = thickest_edge(halves)
    where = "does" if most >= EDGE.minimum else "is the most there is: take a thicker tail or shallower ribs"
    detail = f"A body so thin has no edge of {edge:g} mm; {most:g} mm {where}."
    allowed = {"minimum": EDGE.minimum, "maximum": most, "unit": "mm"} if most >= EDGE.minimum else None
    yield Fault("/params/edge", "edge-too-thick", detail, allowed)


def _waves(params: Params) -> Iterator[Fault]:
    """A half wave of run l falls by w from crest to trough, and its cubic turns at both on a radius of l^2 / 6w."""
    run, wave = end_of(params) / int(params["waves"]), number(params, "wave")
    most = math.floor(10 * run * run / (3 * ROOM * number(params, "thickness"))) / 10
    if wave > most:
        radius, needed = run * run / (6 * wave), ROOM * number(params, "thickness") / 2
        detail = (
            f"A wave of {wave:g} mm turns on a radius of {radius:.3g} mm and the body is too thick for less than "
            f"{needed:.3g} mm; {most:g} mm of wave, or fewer waves, do."
        )
        yield Fault("/params/wave", "turns-too-tight", detail, {"minimum": 0.0, "maximum": most, "unit": "mm"})
