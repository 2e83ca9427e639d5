"""Which number of which group mends a creature's limb that is in trouble, and up to where."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from worker.errors import Fault
from worker.strands.attach import RootOutside, attach
from worker.strands.strand import Strand
from worker.styles.clearance import LEAST_GAP, comes_back, from_middle, gap, root_shows
from worker.styles.creature_groups import Group, Seat, seats
from worker.styles.creature_layout import Layout
from worker.styles.creature_parameters import GROUPS
from worker.styles.limb_faults import Trouble
from worker.styles.style import Params
from worker.styles.turns import turn_faults
from worker.styles.worm_parameters import number

LOOKS = 8
"""Values of a member that are tried on the way to its bound."""
DIALS: dict[str, tuple[tuple[str, bool], ...]] = {
    "turns-too-tight": (("width", False), ("length", True)),
    "runs-into-itself": (("width", False), ("length", True)),
    "root-too-thick": (("root", False), ("width", False), ("sweep", False)),
    "runs-into-body": (("sweep", False), ("length", False)),
    "limbs-meet": (("sweep", False), ("length", False), ("root", False)),
    "limbs-too-close": (("length", False), ("width", False), ("from", True), ("from", False), ("root", False)),
    "ahead-of-nose": (("length", False), ("from", True)),
}
"""Members that mend a trouble, and whether they do when they grow."""


def told(params: Params, layout: Layout, trunk: Strand, trouble: Trouble) -> Fault:
    """The fault with the member to turn: the first that mends it, and the nearest value tried that does."""
    seat = next((seat for seat in layout.seats if seat.name == trouble.limb.name), None)
    if seat is None:  # a tail that reaches into the limbs
        return Fault("/params/tail_length", trouble.code, trouble.detail, None)
    place, blend = seat.group.number - 1, number(params, "root_blend")
    dials = DIALS.get(trouble.code, (("length", False),))
    for name, up in dials:
        if name == "width" and not seat.group.blade:
            continue
        for value in _values(seat.group, name, up=up):
            if _mends(layout, trunk, seat, {name: value}, trouble, blend):
                detail = f"{trouble.detail} {GROUPS.member(name).title} {value:g} would do."
                allowed = {"minimum" if up else "maximum": value, "unit": GROUPS.member(name).unit}
                return Fault(f"/params/groups/{place}/{name}", trouble.code, detail, allowed)
    return Fault(f"/params/groups/{place}/{dials[0][0]}", trouble.code, trouble.detail, None)


def _values(group: Group, name: str, *, up: bool) -> Iterator[float]:
    """From the present value to the member's bound, in steps of its own, nearer ones first."""
    member, present = GROUPS.member(name), group.of(name)
    bound = member.maximum if up else member.minimum
    for look in range(1, LOOKS + 1):
        share = look / LOOKS
        value = round(round((present + (bound - present) * share * share) / member.step) * member.step, 6)
        if member.minimum <= value <= member.maximum and value != present:
            yield value


def _mends(
    layout: Layout, trunk: Strand, seat: Seat, changes: dict[str, float], trouble: Trouble, blend: float
) -> bool:
    """Whether the limb would be sound by itself and clear of the other one, the body staying as it is."""
    group = replace(seat.group, row={**seat.group.row, **changes})
    moved = list(seats(layout.body, group))[seat.pair].called(0)
    try:
        limb = attach(moved.strand(moved.station(layout.body.length)), trunk, blend)
    except RootOutside:
        return False
    if any(True for _ in turn_faults(limb, "")) or root_shows(limb, trunk) or comes_back(limb, trunk):
        return False
    other = trouble.other
    return from_middle(limb) >= LEAST_GAP / 2 and (other is None or gap(limb, other) >= LEAST_GAP)
