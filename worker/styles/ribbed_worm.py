"""The ribbed worm: a tapering body with saw-tooth ribs between a plain head and a plain tail.

Its ribs go all around, from `ribs_from` to `ribs_to`. Which sides carry them is no parameter: every parameter stands in
the normal form, so that one more would give each ribbed worm another id. The open form has it (`relief.cover`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from worker.errors import Fault
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.ribs import Ribs
from worker.strands.strand import Strand
from worker.styles.dress import with_dress
from worker.styles.dress_parameters import DRESS
from worker.styles.one_trunk import OneTrunk
from worker.styles.ribbed_parameters import (
    HEIGHT,
    RIB_COUNT,
    RIB_DEPTH,
    RIB_EDGE_RADIUS,
    RIB_LAND,
    RIB_PITCH,
    RIBS_FROM,
    RIBS_TO,
    TAPER,
    WIDTH,
)
from worker.styles.style import Params, Remedy, Style
from worker.styles.tail_parameters import TAIL
from worker.styles.tails import TAIL_REMEDIES
from worker.styles.worm_parameters import LENGTH, number
from worker.values.told_bounds import at_least, at_most

HEAD_SHARE, WIDEST_FROM, WIDEST_TO = 0.82, 0.22, 0.55
"""Width of the nose over the greatest, and between which fractions of the length the worm is widest (judgement)."""
DEEPEST_SHARE = 0.25
"""Greatest rib depth over the height."""
LEAST_FLOOR = 0.2
"""Least half-size of the worm in its grooves, mm: deeper ones cut it in two (judgement)."""


def _girth(params: Params) -> Girth:
    width, height, taper = (number(params, name) for name in ("width", "height", "taper"))
    shares = ((0.0, HEAD_SHARE), (WIDEST_FROM, 1.0), (WIDEST_TO, 1.0), (1.0, taper))
    return Girth.oval(*((at, share * width, share * height) for at, share in shares))


def _zone(params: Params) -> float:
    """What of the length is kept for ribs, mm."""
    return (number(params, "ribs_to") - number(params, "ribs_from")) * number(params, "length")


def _count(params: Params) -> int:
    return int(params["rib_count"]) or max(1, math.floor(_zone(params) / number(params, "rib_pitch") + 1e-9))


def _pitch(params: Params) -> float:
    return _zone(params) / int(params["rib_count"]) if int(params["rib_count"]) else number(params, "rib_pitch")


def _thinnest_half(params: Params) -> float:
    """Half of the smallest width or height between the ribs' beginning and their end, mm."""
    ends = np.array([number(params, "ribs_from"), number(params, "ribs_to")])
    widths = _girth(params).width(ends)
    flatter = min(1.0, number(params, "height") / number(params, "width"))
    return float(widths.min()) * flatter / 2


def _trunk(params: Params) -> Strand:
    """From the parameters as the trunk sees them."""
    length, width, taper = (number(params, name) for name in ("length", "width", "taper"))
    ribs = Ribs(
        count=_count(params),
        pitch=_pitch(params),
        depth=number(params, "rib_depth"),
        land=number(params, "rib_land"),
        edge=number(params, "rib_edge_radius"),
        begin=number(params, "ribs_from") * length,
        ends=(HEAD_SHARE * width / 2, taper * width / 2),
    )
    return Strand("trunk", "trunk", StraightPath(length), _girth(params), ribs)


def _faults(params: Params) -> Iterator[Fault]:
    pitch, land, edge, depth = _pitch(params), *(number(params, f"rib_{n}") for n in ("land", "edge_radius", "depth"))
    if number(params, "ribs_to") - number(params, "ribs_from") < 0.1 - 1e-9:
        detail = "The ribs end before, or barely after, where they begin; leave at least a tenth of the length."
        least = at_least(number(params, "ribs_from") + 0.1)
        yield Fault("/params/ribs_to", "ribs-too-short", detail, {"minimum": least, "maximum": RIBS_TO.maximum})
        return
    deepest = DEEPEST_SHARE * number(params, "height")
    if depth > deepest + 1e-9:
        detail = f"Ribs {depth:g} mm deep cut more than a quarter into {number(params, 'height'):g} mm of height."
        yield Fault("/params/rib_depth", "ribs-too-deep", detail, {"minimum": 0.4, "maximum": at_most(deepest)})
    elif depth > (through := _thinnest_half(params) - LEAST_FLOOR):
        # A flat worm is cut from side to side by grooves that its height would bear.
        most = math.floor(10 * through) / 10
        detail = f"Grooves {depth:g} mm deep all around cut the worm in two where it is thinnest; {most:g} mm do not."
        yield Fault("/params/rib_depth", "ribs-too-deep", detail, {"minimum": 0.4, "maximum": most})
    count, zone = int(params["rib_count"]), _zone(params)
    if pitch < 1.5 - 1e-9 or pitch > 8 + 1e-9:
        detail = f"{count} ribs in that stretch stand {pitch:.3g} mm apart; 1.5 to 8 mm can be made."
        allowed = {"minimum": max(1, math.ceil(zone / 8 - 1e-9)), "maximum": min(120, math.floor(zone / 1.5 + 1e-9))}
        yield Fault("/params/rib_count", "rib-pitch", detail, {**allowed, "whole": True})
    if params["tail"] != "none":
        yield from _room(params, pitch, land + 2 * edge)
    # The land carries the round of its front edge; the groove the round of its foot and a slope beside it.
    if land < 2 * edge - 1e-9:
        detail = f"A land of {land:g} mm does not carry edges rounded by {edge:g} mm; it takes {2 * edge:g} mm."
        yield Fault("/params/rib_land", "land-too-short", detail, {"minimum": 2 * edge})
    if pitch - land < 3 * edge - 1e-9:
        detail = f"A pitch of {pitch:.4g} mm leaves {pitch - land:.3g} mm of groove; its round takes {3 * edge:g} mm."
        least = at_least(land + 3 * edge)
        if count:  # the pitch is what so many ribs make of it, and saying another changes nothing
            fewer = {"minimum": 0, "maximum": math.floor(zone / least + 1e-9), "whole": True}
            yield Fault("/params/rib_count", "groove-too-short", detail, fewer)
        else:
            yield Fault("/params/rib_pitch", "groove-too-short", detail, {"minimum": least})


def _room(params: Params, pitch: float, head: float) -> Iterator[Fault]:
    """A tail may leave too little of the body for even one rib behind the head."""
    length = number(params, "length")
    begin, end = (number(params, name) * length for name in ("ribs_from", "ribs_to"))
    if begin < head or end - begin < pitch - 1e-9:
        detail = f"The tail leaves {length:.4g} mm of body, too little for ribs {pitch:.3g} mm apart."
        yield Fault("/params/tail_length", "body-too-short", detail, None)


_STRONGER = (
    Remedy("rib_depth", up=False, text="ribs {value} mm deep"),
    Remedy("rib_edge_radius", up=True, text="edges rounded by {value} mm"),
    Remedy("width", up=True, text="a width of {value} mm"),
    Remedy("taper", up=True, text="a taper of {value}"),
)

_WORM = OneTrunk(_trunk, _faults)

RIBBED_WORM = Style(
    name="ribbed_worm",
    title="Ribbed worm",
    summary="A tapering worm with saw-tooth ribs, their steep faces to the nose, between a plain head and tail.",
    sentence="A {length} {style}, {width} wide and {height} high, with ribs {rib_depth} deep every {rib_pitch}",
    parameters=(
        LENGTH,
        WIDTH,
        HEIGHT,
        TAPER,
        RIB_PITCH,
        RIB_COUNT,
        RIB_DEPTH,
        RIB_LAND,
        RIB_EDGE_RADIUS,
        RIBS_FROM,
        RIBS_TO,
        *TAIL,
        *DRESS,
    ),
    strands=_WORM.strands,
    infeasible=_WORM.infeasible,
    hollows=_WORM.hollows,
    example={
        "style": "ribbed_worm",
        "label": "River ribs",
        "params": {"length": "5 in", "width": "10 mm", "height": "9 mm", "rib_pitch": "3 mm", "rib_depth": "1 mm"},
        "plastic": {"grade": "medium"},
    },
    remedies=with_dress({"joint_pull": _STRONGER, "thin_feature": _STRONGER, **TAIL_REMEDIES}),
)
