"""What the parameters of a creature cannot be together."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from worker.errors import Fault
from worker.strands.attach import RootOutside
from worker.strands.closing import HumpsHidden
from worker.strands.strand import Strand
from worker.styles.clearance import LEAST_GAP
from worker.styles.creature_body import GIRTH, LEAST_DEPTH, CreatureBody
from worker.styles.creature_groups import STALK, Group
from worker.styles.creature_layout import LEAST_BODY, Layout, groups_of
from worker.styles.creature_trouble import told
from worker.styles.dress_feasible import dress_faults, worn_faults
from worker.styles.limb_faults import limb_faults
from worker.styles.style import Params
from worker.styles.tail_feasible import rooted_faults, tail_faults
from worker.styles.worm_parameters import number

DEEPEST_RIB = 0.25
"""Greatest rib depth over the body's height where it is lowest."""
LEAST_RIBS = 0.1
"""Least stretch with ribs, over the body."""
WIDEST_ROOT = 0.75
"""Greatest thickness of a limb at its root over the body's height and width where it leaves (judgement)."""


def infeasible(
    params: Params, layout: Callable[[Params], Layout], strands: Callable[[Params], tuple[Strand, ...]]
) -> Iterator[Fault]:
    """Every fault that can be told from the numbers; where there is none, those of the strands themselves."""
    found = [*dress_faults(params), *tail_faults(params)] or [
        *_body(params),
        *(f for group in groups_of(params) for f in _group(params, group)),
    ]
    if not found:
        found = list(_room(params, layout))
    yield from found
    if found:
        return
    try:
        trunk, *others = strands(params)
        trunk.body  # noqa: B018  worked out here, so that ribs that hide each other are told
    except RootOutside as error:
        yield Fault("/params/body_width", "root-outside", f"{str(error).capitalize()}; give it a fuller body.", None)
        return
    except HumpsHidden:
        detail = "The body swells so fast that one rib hides the next; take deeper ribs, a longer pitch or less taper."
        yield Fault("/params/rib_depth", "ribs-hidden", detail, None)
        return
    yield from worn_faults(trunk, params)
    yield from rooted_faults(params, trunk, tuple(others))
    length = number(params, "length")
    yield from limb_faults(
        trunk, others, length, lambda trouble: told(params, layout(params), trunk, trouble), together=("tail",)
    )


def _body(params: Params) -> Iterator[Fault]:
    begin, end, depth = (number(params, name) for name in ("ribs_from", "ribs_to", "rib_depth"))
    if end - begin < LEAST_RIBS - 1e-9:
        detail = "The ribs end before, or barely after, where they begin; leave at least a tenth of the body."
        yield Fault(
            "/params/ribs_to", "ribs-too-short", detail, {"minimum": round(begin + LEAST_RIBS, 2), "maximum": 0.94}
        )
    lowest = min(number(params, "body_taper"), min(share for _, share in GIRTH))
    deepest = DEEPEST_RIB * lowest * min(number(params, "body_height"), number(params, "body_width"))
    if depth > deepest + 1e-9:
        most = math.floor(100 * deepest) / 100
        detail = f"Ribs {depth:g} mm deep cut more than a quarter into the body's ends; {most:g} mm does not."
        yield Fault("/params/rib_depth", "ribs-too-deep", detail, {"minimum": 0.0, "maximum": most, "unit": "mm"})


def _group(params: Params, group: Group) -> Iterator[Fault]:
    pointer = f"/params/groups/{group.number - 1}"
    root, tip, width, first, last = (group.of(name) for name in ("root", "tip", "width", "from", "to"))
    if tip > root:
        detail = f"A {group.kind} thins out: at most {root:g} mm at its tip, not {tip:g} mm."
        yield Fault(f"{pointer}/tip", "tip-too-thick", detail, {"maximum": root, "unit": "mm"})
    room = WIDEST_ROOT * min(number(params, "body_height"), number(params, "body_width"))
    if root > room + 1e-9:
        most = math.floor(10 * room) / 10
        detail = f"{root:g} mm is too thick to grow out of that body; at most {most:g} mm is not."
        yield Fault(f"{pointer}/root", "root-too-thick", detail, {"maximum": most, "unit": "mm"})
    if group.blade and width < STALK * root - 1e-9:
        least = math.ceil(10 * STALK * root) / 10
        detail = f"A {group.kind} is wider than its stalk of {STALK * root:.3g} mm: {least:g} mm would do."
        yield Fault(f"{pointer}/width", "blade-too-narrow", detail, {"minimum": least, "unit": "mm"})
    if group.blade and width > 1.1 * group.of("length"):
        most = math.floor(11 * group.of("length")) / 10
        detail = f"A {group.kind} {group.of('length'):g} mm long is at most {most:g} mm wide."
        yield Fault(f"{pointer}/width", "blade-too-wide", detail, {"maximum": most, "unit": "mm"})
    if group.pairs > 1 and group.row["every"] == 0 and last < first + 1e-9:
        detail = "The last pair leaves behind the first one."
        yield Fault(f"{pointer}/to", "pairs-in-one-place", detail, {"minimum": round(first + 0.01, 2), "maximum": 0.99})


def _room(params: Params, layout: Callable[[Params], Layout]) -> Iterator[Fault]:
    laid, length = layout(params), number(params, "length")
    least = LEAST_BODY * length
    if laid.room < least:
        yield _no_room(params, layout, laid)
        return
    body = laid.body
    zone, pitch = body.zone[1] - body.zone[0], number(params, "rib_pitch")
    ribbed = number(params, "rib_depth") >= LEAST_DEPTH
    if ribbed and (zone < pitch or body.zone[0] < body.land + 0.6):
        most = math.floor(10 * zone) / 10
        detail = f"A body of {body.length:.3g} mm has no room for ribs {pitch:g} mm apart there."
        yield Fault(
            "/params/rib_pitch", "ribs-too-far-apart", detail, {"maximum": most, "unit": "mm"} if most >= 1.5 else None
        )
        return
    for group in groups_of(params):
        yield from _stations(body, group, ribbed=ribbed)


def _no_room(params: Params, layout: Callable[[Params], Layout], laid: Layout) -> Fault:
    length = number(params, "length")
    seat = laid.longest
    if seat is None:
        detail = f"The tail leaves {laid.room:.3g} mm of {length:g} mm for the body; {LEAST_BODY:.0%} is the least."
        return Fault("/params/tail_length", "tail-too-long", detail, None)
    group, place = seat.group, seat.group.number - 1
    present = group.of("length")

    def does(value: float) -> bool:
        rows = [{**row, "length": value} if at == place else row for at, row in enumerate(params["groups"])]
        other = layout({**params, "groups": rows})
        return other.room >= LEAST_BODY * length or other.longest is None or other.longest.group.number != group.number

    # Its reach goes with its length but for how deep it is rooted, so few looks are enough.
    missing = (LEAST_BODY * length - laid.room) * seat.share
    looks = (math.floor(2 * (present - missing - step)) / 2 for step in (0.0, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0))
    most = next((value for value in looks if value >= 4 and does(value)), None)
    would = f"{most:g} mm would do" if most is not None else "none would do there"
    detail = f"The {seat.name} leaves {max(laid.room, 0):.3g} mm of {length:g} mm for the body; {would}."
    allowed = {"maximum": most, "unit": "mm"} if most is not None else None
    return Fault(f"/params/groups/{place}/length", "limbs-too-long", detail, allowed)


def _stations(body: CreatureBody, group: Group, *, ribbed: bool) -> Iterator[Fault]:
    """Pairs on ribs need ribs; pairs side by side need room for their roots."""
    pointer, every = f"/params/groups/{group.number - 1}", int(group.row["every"])
    if every and not ribbed:
        yield Fault(
            f"{pointer}/every",
            "no-ribs",
            "Pairs stand on ribs and the body has none; 0 stands them evenly.",
            {"maximum": 0},
        )
        return
    step = every * body.pitch if every else (group.of("to") - group.of("from")) * body.length / max(group.pairs - 1, 1)
    if every:
        first = body.first_rib(group.of("from"))
        fit = 0 if first > body.rib_count else (body.rib_count - first) // every + 1
        if group.pairs > fit:
            detail = (
                f"From {group.of('from'):g} of the body on {fit} pairs stand {every} ribs apart, not {group.pairs}."
            )
            allowed = {"minimum": 1, "maximum": fit, "whole": True} if fit else None
            yield Fault(f"{pointer}/{'pairs' if fit else 'from'}", "too-few-ribs", detail, allowed)
            return
    needed = group.root_width + LEAST_GAP
    if group.pairs == 1 or step >= needed:
        return
    if every:
        least = math.ceil(needed / body.pitch)
        detail = f"Roots {group.root_width:.3g} mm wide meet {step:.3g} mm apart; {least} ribs apart they do not."
        allowed = {"minimum": least, "whole": True} if least <= 10 else None
        yield Fault(f"{pointer}/every", "limbs-too-close", detail, allowed)
    else:
        fit = math.floor((group.of("to") - group.of("from")) * body.length / needed + 1e-9) + 1
        detail = f"{group.pairs} pairs with roots {group.root_width:.3g} mm wide run into each other; {fit} do not."
        yield Fault(f"{pointer}/pairs", "limbs-too-close", detail, {"minimum": 1, "maximum": fit, "whole": True})
