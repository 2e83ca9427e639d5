"""The stick worm: a plain round stick, thickest before its middle, with a few shallow rings behind the nose."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.rings_relief import Rings
from worker.strands.strand import Strand
from worker.styles.declare import millimetres, share
from worker.styles.dress import with_dress
from worker.styles.dress_parameters import DRESS
from worker.styles.one_trunk import OneTrunk
from worker.styles.ring_faults import ring_faults
from worker.styles.style import Params, Remedy, Style
from worker.styles.worm_parameters import LENGTH, number
from worker.values.told_bounds import at_least, at_most

DEEPEST_SHARE = 0.2
"""Greatest ring depth over the width of the nose (judgement)."""
LEAST_STRETCH = 0.03
"""Least stretch of the length for rings, where there are any (judgement)."""

GIRTH = millimetres("girth", "Girth", "Greatest diameter.", 10.5, 5.0, 16.0)
GIRTH_AT = share(
    "girth_at", "Girth at", "Where it is thickest, as a share of the length from the nose.", 0.45, 0.2, 0.7, 0.01
)
NOSE = millimetres("nose", "Nose", "Diameter at the nose, before its end is rounded.", 7.5, 3.0, 16.0)
TAIL_END = millimetres("tail_end", "Tail end", "Diameter at the tail, before its end is rounded.", 5.0, 3.0, 10.0)
RING_PITCH = millimetres("ring_pitch", "Ring pitch", "From one ring to the next.", 2.5, 1.5, 8.0)
RING_DEPTH = millimetres(
    "ring_depth", "Ring depth", "How deep the grooves between the rings are; 0 leaves them out.", 0.4, 0.0, 0.8, 0.05
)
RINGS_FROM = share(
    "rings_from", "Rings from", "Where the rings begin, as a share of the length from the nose.", 0.05, 0.03, 0.6, 0.01
)
RINGS_TO = share("rings_to", "Rings to", "Where the rings end.", 0.35, 0.06, 0.92, 0.01)


def _relief(params: Params) -> Rings | Plain:
    ends = number(params, "nose") / 2, number(params, "tail_end") / 2
    count = _count(params)
    if count == 0:
        return Plain(ends)
    pitch, begin = number(params, "ring_pitch"), number(params, "rings_from") * number(params, "length")
    return Rings(count, pitch, number(params, "ring_depth"), begin + pitch / 2, ends)


def _count(params: Params) -> int:
    if number(params, "ring_depth") == 0:
        return 0
    zone = (number(params, "rings_to") - number(params, "rings_from")) * number(params, "length")
    return math.floor(zone / number(params, "ring_pitch") + 1e-9)


def _girth(params: Params) -> Girth:
    at = number(params, "girth_at")
    return Girth.circular(
        (0.0, number(params, "nose")), (at, number(params, "girth")), (1.0, number(params, "tail_end"))
    )


def _trunk(params: Params) -> Strand:
    return Strand("trunk", "trunk", StraightPath(number(params, "length")), _girth(params), _relief(params))


def _faults(params: Params) -> Iterator[Fault]:
    found = [*_thick(params), *_rings(params)]
    yield from found or ring_faults(
        "/params/ring_depth", _relief(params), _girth(params), number(params, "length"), _deepest(params)
    )


def _deepest(params: Params) -> float:
    """Greatest ring depth, mm."""
    deepest = min(Rings.deepest(number(params, "ring_pitch")), DEEPEST_SHARE * number(params, "nose"))
    return min(math.floor(1e4 * deepest) / 1e4, RING_DEPTH.maximum)


def _thick(params: Params) -> Iterator[Fault]:
    girth = number(params, "girth")
    for name, what in (("nose", "nose"), ("tail_end", "tail")):
        if number(params, name) > girth:
            detail = f"A {what} of {number(params, name):g} mm is thicker than the girth; at most {girth:g} mm is not."
            allowed = {"minimum": 3.0, "maximum": girth, "unit": "mm"}
            yield Fault(f"/params/{name}", f"{what}-too-thick", detail, allowed)


def _rings(params: Params) -> Iterator[Fault]:
    depth, pitch, deepest = number(params, "ring_depth"), number(params, "ring_pitch"), _deepest(params)
    if depth == 0:
        return
    if depth > deepest:
        detail = f"Rings {depth:g} mm deep leave too little between them or in the nose; {deepest:.3g} mm does not."
        yield Fault("/params/ring_depth", "rings-too-deep", detail, {"minimum": 0.0, "maximum": deepest, "unit": "mm"})
    begin, end = number(params, "rings_from"), number(params, "rings_to")
    if end - begin < LEAST_STRETCH - 1e-9:
        least = at_least(begin + LEAST_STRETCH)
        detail = f"Rings that begin at {begin:g} of the length end at {least:g} or behind it, not at {end:g}."
        yield Fault("/params/rings_to", "rings-too-short", detail, {"minimum": least, "maximum": 0.92})
    elif _count(params) == 0:
        zone = (end - begin) * number(params, "length")
        detail = f"Not one ring of {pitch:g} mm goes into the {zone:.3g} mm kept for rings."
        allowed = {"minimum": 1.5, "maximum": at_most(zone), "unit": "mm"}
        yield Fault("/params/ring_pitch", "ring-pitch", detail, allowed if zone >= 1.5 else None)


_MADE = OneTrunk(_trunk, _faults)
_STRONGER = (
    Remedy("ring_depth", up=False, text="rings {value} mm deep"),
    Remedy("nose", up=True, text="a nose of {value} mm"),
    Remedy("girth", up=True, text="a girth of {value} mm"),
)

STICK_WORM = Style(
    name="stick_worm",
    title="Stick worm",
    summary="A plain round stick, thickest before its middle; a few shallow rings behind the nose, a slim tail end.",
    sentence="A {length} {style}, {girth} where it is thickest, with rings {ring_depth} deep every {ring_pitch}",
    parameters=(LENGTH, GIRTH, GIRTH_AT, NOSE, TAIL_END, RING_PITCH, RING_DEPTH, RINGS_FROM, RINGS_TO, *DRESS),
    strands=_MADE.strands,
    hollows=_MADE.hollows,
    infeasible=_MADE.infeasible,
    example={
        "style": "stick_worm",
        "label": "Mill race stick",
        "params": {"length": "5 in", "girth": "10.5 mm", "ring_depth": "0.4 mm"},
        "plastic": {"grade": "soft", "salt_wt_pct": 20},
    },
    remedies=with_dress(
        {
            "joint_pull": _STRONGER,
            "thin_feature": (*_STRONGER, Remedy("tail_end", up=True, text="a tail end of {value} mm")),
        }
    ),
)
