"""What the parameters of a craw cannot be together."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

import numpy as np

from worker.errors import Fault
from worker.measures.strand.extent import extent_of
from worker.strands.attach import RootOutside
from worker.strands.closing import HumpsHidden
from worker.strands.strand import Strand
from worker.styles.clearance import span
from worker.styles.craw_body import CORE_HEIGHT, CrawBody
from worker.styles.craw_claws import Claw
from worker.styles.craw_limbs import legs_span
from worker.styles.craw_room import room_faults
from worker.styles.style import Params
from worker.styles.turns import turn_faults
from worker.styles.worm_parameters import number
from worker.values.parameter import Parameter
from worker.values.told_bounds import at_most

THICKEST_CORE = 0.6
"""Greatest width of the core over the body's: beyond, there are no lobes to speak of (judgement)."""
LEAST_FLOOR = 0.8
"""Least half-width of a lobe in the grooves between its ribs, mm (judgement)."""
DEEPEST_RIB = 0.25
"""Greatest rib depth over the body's height at the nose."""
LONGEST_ARM = 0.35
"""Greatest gap between body and wrist, over the overall length (judgement)."""
WIDEST_LIMB = 0.8
"""Greatest thickness of a limb at its root over the strand that it grows out of (judgement)."""
LEG_ROOM = 1.2
"""Least distance from leg to leg over their thickness (judgement)."""
LEAST_BETWEEN = 0.8
"""Least gap between the two claws, mm: the thinnest wall of a mould that lasts (judgement)."""

_THINNER = (
    ("leg_tip", "leg_root", "A leg"),
    ("feeler_tip", "feeler_root", "A feeler"),
    ("claw_tip_thickness", "claw_thickness", "A claw"),
)


def infeasible(
    params: Params, strands: Callable[[Params], tuple[Strand, ...]], parameters: Mapping[str, Parameter]
) -> Iterator[Fault]:
    """Every fault that can be told from the numbers; where there is none, those of the strands themselves."""
    found = [*_body(params), *_limbs(params)]
    if not found:
        found = list(_reaches(params))
    yield from found
    if found:
        return
    try:
        made = strands(params)
    except RootOutside as error:
        yield Fault("/params/body_share", "root-outside", f"{str(error).capitalize()}; give it a longer body.", None)
        return
    except HumpsHidden:
        detail = "The lobes swell so fast that one rib hides the next; take deeper ribs, a longer pitch or less taper."
        yield Fault("/params/rib_depth", "ribs-hidden", detail, None)
        return
    found = list(_strands(params, made, strands))
    if not found:

        def others(changed: Params) -> tuple[Strand, ...]:
            if any(True for _ in (*_body(changed), *_limbs(changed), *_reaches(changed))):
                raise ValueError("its numbers have faults of their own")
            return strands(changed)

        found = list(room_faults(params, made, others, parameters))
    yield from found


def _body(params: Params) -> Iterator[Fault]:
    width, core, depth = (number(params, name) for name in ("body_width", "core_width", "rib_depth"))
    if core > THICKEST_CORE * width + 1e-9:
        most = at_most(THICKEST_CORE * width)
        detail = f"A core of {core:g} mm leaves no lobes in a body of {width:g} mm; at most {most:g} mm does."
        yield Fault("/params/core_width", "core-too-thick", detail, {"minimum": 2.0, "maximum": most, "unit": "mm"})
        return
    deepest = DEEPEST_RIB * number(params, "body_height") * number(params, "body_taper")
    if depth > deepest + 1e-9:
        detail = f"Ribs {depth:g} mm deep cut more than a quarter into the body at the nose; {deepest:.3g} mm does not."
        yield Fault("/params/rib_depth", "ribs-too-deep", detail, {"minimum": 0.4, "maximum": at_most(deepest)})
    body = CrawBody(params)
    if body.lobe_length < 1.5 * sum(body.ends):
        detail = f"A body {body.length:.3g} mm long is all ends at {number(params, 'body_height'):g} mm of height."
        least = math.ceil(1000 * number(params, "body_share") * 1.5 * sum(body.ends) / body.lobe_length) / 1000
        yield Fault("/params/body_share", "body-too-short", detail, {"minimum": min(least, 0.65), "maximum": 0.65})
        return
    floor = min(body.lobe_half_widths) - depth
    if floor < LEAST_FLOOR - 1e-9:
        detail = (
            f"Between their ribs the lobes would be {2 * floor:.3g} mm wide and {2 * LEAST_FLOOR:g} mm is the least; "
            "take shallower ribs, a thinner core, or more overlap."
        )
        most = at_most(depth - 2 * (LEAST_FLOOR - floor))  # half of a change in depth goes to the floor
        allowed = {"minimum": 0.4, "maximum": most, "unit": "mm"} if most >= 0.4 else None
        yield Fault("/params/rib_depth", "lobes-too-thin", detail, allowed)


def _limbs(params: Params) -> Iterator[Fault]:
    for thin, thick, what in _THINNER:
        most = number(params, thick)
        if number(params, thin) > most:
            detail = f"{what} thins out: at most {most:g} mm at its tip, not {number(params, thin):g} mm."
            yield Fault(f"/params/{thin}", "tip-too-thick", detail, {"maximum": most, "unit": "mm"})
    body, height = CrawBody(params), number(params, "body_height")
    # A flat belly leaves less below the middle than above it: what grows out there must not show below.
    low = height if body.section.floor is None else min(2 * body.section.floor, height)
    wide = WIDEST_LIMB * min(2 * body.lobe_half_widths[1], height)
    high = min(wide, WIDEST_LIMB * low)
    roots = [("wrist_width", wide, "a lobe"), ("wrist_height", high, "a lobe"), ("leg_root", high, "a lobe")]
    if low < CORE_HEIGHT * height and int(params["feelers"]):
        roots.append(("feeler_root", WIDEST_LIMB * low, "the core"))
    for name, room, parent in roots:
        if number(params, name) > room + 1e-9:
            most = at_most(room)
            detail = f"{number(params, name):g} mm is too thick to grow out of {parent}; at most {most:g} mm is not."
            yield Fault(f"/params/{name}", "root-too-thick", detail, {"maximum": most, "unit": "mm"})
    span, leg = legs_span(CrawBody(params)), number(params, "leg_root")
    fit = math.floor(span / (LEG_ROOM * leg) + 1e-9) + 1
    if int(params["leg_pairs"]) > fit:
        detail = f"{int(params['leg_pairs'])} pairs of legs {leg:g} mm thick grow into each other; {fit} do not."
        yield Fault("/params/leg_pairs", "legs-too-close", detail, {"minimum": 0, "maximum": fit, "whole": True})
    most = at_most(0.8 * number(params, "claw_width"))
    if number(params, "wrist_width") > most:
        detail = f"A wrist is narrower than its claw: at most {most:g} mm."
        yield Fault("/params/wrist_width", "wrist-too-wide", detail, {"maximum": most, "unit": "mm"})


def _reaches(params: Params) -> Iterator[Fault]:
    """The claws end at the overall length, so their wrists stand where the body leaves room for them."""
    body, length = CrawBody(params), number(params, "length")
    gap, share = _gap(params), number(params, "claw_length")
    shares = range(math.ceil(share) - 1, 14, -1) if gap < 0 else range(math.floor(share) + 1, 56)
    if 0 <= gap <= LONGEST_ARM * length:
        return
    # A claw's reach is not quite in proportion to its length, so the whole per cents are tried in turn.
    do = next((s for s in shares if 0 <= _gap({**params, "claw_length": float(s)}) <= LONGEST_ARM * length), None)
    would = "none would do" if do is None else f"claws of {do} % do"
    if gap < 0:
        detail = (
            f"Claws of {share:g} %, a body of {number(params, 'body_share') * 100:g} % and a fan of {body.fan:g} mm "
            f"do not go into {length:g} mm; {would}."
        )
        yield Fault("/params/claw_length", "claws-too-long", detail, {"maximum": do, "unit": "%"} if do else None)
    else:
        detail = f"Arms would be {gap:.3g} mm long before the claws of {share:g} % begin; {would}."
        yield Fault("/params/claw_length", "claws-too-short", detail, {"minimum": do, "unit": "%"} if do else None)


def _gap(params: Params) -> float:
    """From the body's end to the wrist, along the bait."""
    body = CrawBody(params)
    return number(params, "length") - Claw(params, body).reach - body.end


def _strands(
    params: Params, strands: tuple[Strand, ...], make: Callable[[Params], tuple[Strand, ...]]
) -> Iterator[Fault]:
    length = number(params, "length")
    for strand in strands:
        if strand.name.startswith("right"):
            continue
        yield from turn_faults(strand, f"/params/{_OF_KIND[strand.kind]}")
        if strand.kind == "claw" and _inner_side(strand, CrawBody(params).end) < LEAST_BETWEEN / 2:
            detail = f"The {strand.name} reaches over the middle and into its counterpart: "
            least = _spread_that_parts(params, make)
            detail += "give them narrower claws." if least is None else f"spread by {least:g} degrees they do not meet."
            allowed = None if least is None else {"minimum": least, "unit": "deg"}
            yield Fault("/params/claw_spread", "claws-meet", detail, allowed)
            return
        if strand.kind in ("feeler", "leg") and span(strand)[1] > length:
            reach = float(extent_of(strand)[1][0])
            if reach > length + 1e-6:
                name = f"{strand.kind}_length"
                # Its shape is free of its length: it reaches in proportion from where it leaves the body.
                leaves = 0.0 if strand.root is None else strand.root.leaves
                x = float(strand.path.frames(np.array([leaves]))[0][0, 0])
                most = math.floor(
                    number(params, name) * (length - x) / (reach - x) - number(params, f"{strand.kind}_tip")
                )
                detail = f"{strand.kind.capitalize()}s would reach {reach - length:.3g} mm past the claws; "
                detail += f"{most} mm long they do not."
                yield Fault(f"/params/{name}", f"{strand.kind}s-too-long", detail, {"maximum": most, "unit": "mm"})
                return


def _spread_that_parts(params: Params, make: Callable[[Params], tuple[Strand, ...]]) -> float | None:
    """The first of every five degrees of spread at which the claws keep apart; None where none of them does."""
    behind = CrawBody(params).end
    for spread in range(5 * math.floor(number(params, "claw_spread") / 5 + 1), 71, 5):
        changed = {**params, "claw_spread": float(spread)}
        if any(True for _ in _reaches(changed)):
            continue
        claws = [strand for strand in make(changed) if strand.kind == "claw" and not strand.name.startswith("right")]
        if all(_inner_side(claw, behind) >= LEAST_BETWEEN / 2 for claw in claws):
            return float(spread)
    return None


def _inner_side(claw: Strand, behind: float) -> float:
    """How far to the left of the middle a left claw begins, behind the body; mm."""
    station = claw.path.length * np.arange(65) / 64
    points, left, back = claw.path.frames(station)
    half_width, half_height = claw.body.half_sizes(station)
    inner = points[:, 1] - np.hypot(left[:, 1] * half_width, back[:, 1] * half_height)
    return float(np.where(points[:, 0] > behind, inner, np.inf).min())


_OF_KIND = {
    "trunk": "body_share",
    "core": "body_share",
    "claw": "claw_width",
    "leg": "leg_root",
    "feeler": "feeler_root",
    "fan": "tail_fan",
}
