"""Which number of which group mends a creature's limb that is in trouble, and up to where."""

from __future__ import annotations

from dataclasses import replace

from worker.errors import Fault
from worker.strands.attach import RootOutside, attach
from worker.strands.strand import Strand
from worker.styles.clearance import LEAST_GAP, gap
from worker.styles.creature_groups import Seat, seats
from worker.styles.creature_layout import Layout
from worker.styles.creature_parameters import GROUPS
from worker.styles.limb_faults import Trouble, troubles
from worker.styles.mending import fault_of, values_on_the_way
from worker.styles.style import Params
from worker.styles.worm_parameters import number

DIALS: dict[str, tuple[tuple[str, bool], ...]] = {
    "turns-too-tight": (("width", False), ("length", True), ("sweep", False)),
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
    place = seat.group.number - 1
    dials = DIALS.get(trouble.code, (("length", False),))
    for name, up in dials:
        if name == "width" and not seat.group.blade:
            continue
        for value in values_on_the_way(GROUPS.member(name), seat.group.of(name), up=up):
            if _mends(params, layout, trunk, seat, {name: value}, trouble):
                return fault_of(trouble, f"/params/groups/{place}/{name}", GROUPS.member(name), value, up=up)
    return Fault(f"/params/groups/{place}/{dials[0][0]}", trouble.code, trouble.detail, None)


def _mends(
    params: Params, layout: Layout, trunk: Strand, seat: Seat, changes: dict[str, float], trouble: Trouble
) -> bool:
    """Whether the limb would be sound by itself and clear of the other one, the body staying as it is."""
    group = replace(seat.group, row={**seat.group.row, **changes})
    moved = list(seats(layout.body, group))[seat.pair].called(0)
    try:
        limb = attach(moved.strand(moved.station(layout.body.length)), trunk, number(params, "root_blend"))
    except RootOutside:
        return False
    if next(troubles(limb, trunk, number(params, "length"), paired=True), None) is not None:
        return False
    return trouble.other is None or gap(limb, trouble.other) >= LEAST_GAP
