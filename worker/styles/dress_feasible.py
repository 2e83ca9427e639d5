"""What the dress of a bait cannot be: sizes between none and the least, and hollows that its trunk has no room for."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.strand import Strand
from worker.styles.around import Around
from worker.styles.bores import Bore, bores_of
from worker.styles.dress import whole_dress
from worker.styles.dress_parameters import EYE_AT, HOOK_SLOT_WIDTH, LEAST
from worker.styles.eyes import Eye
from worker.styles.placing import rounded_end, rounded_nose
from worker.styles.slots import Slot
from worker.styles.style import Params
from worker.styles.worm_parameters import number

LEAST_FLOOR = 3.0
"""Least plastic between the bottom of a hook slot and the other side, mm."""
LEAST_WALL = 1.2
"""Least wall around a hollow and between two, mm: what fills in aluminium."""


def dress_faults(params: Params) -> Iterator[Fault]:
    """Faults that the numbers have by themselves."""
    params = whole_dress(params)
    for name, least in LEAST.items():
        if 0 < number(params, name) < least:
            title = name.replace("_", " ")
            detail = f"There is no {title} of {number(params, name):g} mm: it takes {least:g} mm, and 0 leaves it out."
            yield Fault(f"/params/{name}", "too-small", detail, {"minimum": least, "unit": "mm"})
    tailed = str(params.get("tail", "none")) != "none"
    ends: dict[bool, str] = {}
    for bore in bores_of(params):
        if tailed and not bore.from_nose:
            detail = f"The {bore.name} cannot open at the tail end: a tail grows there. Put it in from the nose."
            yield Fault(f"/params/{bore.parameter}_end", "end-taken", detail, {"choices": ["nose"]})
        elif bore.from_nose in ends:
            detail = f"The {bore.name} and the {ends[bore.from_nose]} open at the same end; each takes one for itself."
            yield Fault(f"/params/{bore.parameter}", "end-taken", detail, None)
        ends.setdefault(bore.from_nose, bore.name)


def worn_faults(trunk: Strand, params: Params) -> Iterator[Fault]:
    """Faults of the dress on its trunk, which is as `dressed` has given it."""
    params = whole_dress(params)
    found = [*_zones(trunk, params), *slot_faults(trunk, params), *_bores(trunk, params), *_eyes(trunk, params)]
    yield from found or _meetings(trunk, params)


def _zones(trunk: Strand, params: Params) -> Iterator[Fault]:
    room = trunk.path.length - rounded_end(trunk)
    head = rounded_nose(trunk)
    if head > 0.5 * trunk.path.length:
        detail = f"A {params['head']} head {head:.3g} mm long is more than half of the body; take a shorter one."
        yield Fault("/params/head", "head-too-long", detail, {"choices": ["round", "blunt", "flat"]})
    if trunk.zones and params["nose_smooth"] and trunk.zones[0].end > room:
        detail = "The smooth nose leaves nothing of the body; take less of it."
        yield Fault("/params/nose_smooth", "nose-too-long", detail, None)
    bands = [zone for zone in trunk.zones if zone.raised > 0]
    for band in bands:
        if band.begin < head or band.end > room:
            detail = (
                f"The egg band would lie from {band.begin:.3g} to {band.end:.3g} mm, and the body has room for it "
                f"from {head:.3g} to {room:.3g} mm."
            )
            yield Fault("/params/egg_band_at", "band-outside", detail, None)


def slot_faults(trunk: Strand, params: Params, nose: float = 0.0, *, held: bool = False) -> Iterator[Fault]:
    """Faults of a hook slot in a trunk that begins `nose` mm behind the bait's own nose.

    `held`: other strands run into its sides, so that a slot needs no walls beside it.
    """
    slot = Slot.of(params, nose)
    if slot is None:
        return
    first, last = rounded_nose(trunk), trunk.path.length - rounded_end(trunk)
    if slot.begin < first or slot.end > last:
        most = math.floor(100 * (last - slot.begin) / number(params, "length"))
        detail = (
            f"The hook slot would lie from {slot.begin:.4g} to {slot.end:.4g} mm, and the body has room for it from "
            f"{first:.3g} to {last:.4g} mm."
        )
        allowed = {"maximum": most, "unit": "%"} if slot.begin >= first and most >= 5 else None
        yield Fault("/params/hook_slot_length", "slot-outside", detail, allowed)
        return
    around = Around.of(trunk, slot.begin, slot.end)
    side = float(around.side.min()) - slot.width / 2
    if side < LEAST_WALL and not held:
        detail = (
            f"A slot {slot.width:g} mm wide leaves {max(side, 0.0):.3g} mm beside it; {LEAST_WALL:g} mm is the least."
        )
        widest = math.floor(10 * (slot.width - 2 * (LEAST_WALL - side)) + 1e-6) / 10
        does = widest >= HOOK_SLOT_WIDTH.minimum
        detail += f" One of {widest:g} mm does." if does else " The body is too narrow for a slot there."
        allowed = {"minimum": HOOK_SLOT_WIDTH.minimum, "maximum": widest, "unit": "mm"} if does else None
        yield Fault("/params/hook_slot_width", "slot-too-wide", detail, allowed)
    floor = slot.floor(around)
    if floor < LEAST_FLOOR:
        share = math.floor(20 * (slot.depth - (LEAST_FLOOR - floor) / max(around.lowest, 1e-9))) / 20
        would = f"{share:g} of the height does" if share >= 0.15 else "the body is too low for a slot there"
        detail = (
            f"A slot {slot.depth:g} of the height deep leaves {max(floor, 0.0):.3g} mm below it; {LEAST_FLOOR:g} mm is "
            f"the least; {would}."
        )
        allowed = {"minimum": 0.15, "maximum": share} if share >= 0.15 else None
        yield Fault("/params/hook_slot_depth", "slot-too-deep", detail, allowed)


def _bores(trunk: Strand, params: Params) -> Iterator[Fault]:
    for bore in bores_of(params):
        begin, end = bore.walled(trunk)
        if bore.length > trunk.path.length - 2 * LEAST_WALL:
            detail = f"The {bore.name} is {bore.length:.3g} mm deep and the body {trunk.path.length:.4g} mm long."
            yield Fault(f"/params/{_deep(bore)}", "bore-too-long", detail, None)
            continue
        around = Around.of(trunk, begin, end)
        wall, where = around.wall(bore.diameter / 2, around.middle)
        if wall < LEAST_WALL:
            most = math.floor(10 * (bore.diameter - 2 * (LEAST_WALL - wall))) / 10
            least = LEAST[bore.parameter]
            detail = (
                f"Around the {bore.name} the wall is {max(wall, 0.0):.3g} mm, {where:.3g} mm from the nose; "
                f"{LEAST_WALL:g} mm is the least. {f'A bore of {most:g} mm does' if most >= least else 'No bore does'}."
            )
            allowed = {"minimum": least, "maximum": most, "unit": "mm"} if most >= least else None
            yield Fault(f"/params/{bore.parameter}", "wall-too-thin", detail, allowed)


def _deep(bore: Bore) -> str:
    """The parameter that says how deep a bore is; a rattle's pocket is as long as the rattle."""
    return bore.parameter if bore.parameter == "rattle_pocket" else f"{bore.parameter}_length"


def _eyes(trunk: Strand, params: Params) -> Iterator[Fault]:
    eye = Eye.of(trunk, params)
    if eye is None:
        return
    ahead = eye.diameter / 2 + LEAST_WALL
    if eye.station < ahead - 1e-9:
        least = math.ceil(200 * ahead / number(params, "length")) / 2
        detail = (
            f"An eye {eye.diameter:g} mm wide, {eye.station:.3g} mm from the nose, breaks out of the nose's rim; "
            f"{f'at {least:g} % it does not' if least <= EYE_AT.maximum else 'take a smaller one'}."
        )
        allowed = {"minimum": least, "unit": "%"} if least <= EYE_AT.maximum else None
        yield Fault("/params/eye_at", "eye-outside", detail, allowed)
    elif 2 * eye.bottom < LEAST_WALL:
        most = _widest_seat(trunk, params, eye.diameter)
        detail = (
            f"An eye {eye.diameter:g} mm wide, {eye.station:.3g} mm from the nose, has no seat on the head there; "
            f"{'sit it further behind' if most is None else f'one of {most:g} mm has, or sit it further behind'}."
        )
        allowed = None if most is None else {"minimum": LEAST["eye"], "maximum": most, "unit": "mm"}
        yield Fault("/params/eye", "eye-too-wide", detail, allowed)


def _widest_seat(trunk: Strand, params: Params, less_than: float) -> float | None:
    """The widest eye, by tenths of a millimetre, that has a seat where this one has none; None where none has."""
    tenths = range(math.ceil(10 * less_than) - 1, math.ceil(10 * LEAST["eye"]) - 1, -1)
    smaller = (Eye.of(trunk, {**params, "eye": tenth / 10}) for tenth in tenths)
    return next((eye.diameter for eye in smaller if eye is not None and 2 * eye.bottom >= LEAST_WALL), None)


def _meetings(trunk: Strand, params: Params) -> Iterator[Fault]:
    """Hollows that run into one another; each of them has room by itself."""
    bores = list(bores_of(params))
    stretches = [(bore.name, bore.parameter, *bore.stretch(trunk)) for bore in bores]
    slot = Slot.of(params)
    if slot is not None:
        stretches.append(("hook slot", "hook_slot_at", slot.begin, slot.end))
    for number_, (name, parameter, begin, end) in enumerate(stretches):
        for other, _, low, high in stretches[:number_]:
            if begin < high + LEAST_WALL and low < end + LEAST_WALL:
                detail = f"The {name} runs into the {other}; leave {LEAST_WALL:g} mm between them along the bait."
                yield Fault(f"/params/{parameter}", "hollows-meet", detail, None)
    eye = Eye.of(trunk, params)
    if eye is None:
        return
    for bore in bores:
        begin, end = bore.stretch(trunk)
        near = begin < eye.station + eye.diameter / 2 and eye.station - eye.diameter / 2 < end
        wall = eye.bottom - bore.diameter / 2
        if near and wall < LEAST_WALL:
            detail = f"The eyes sit {wall:.3g} mm from the {bore.name}; {LEAST_WALL:g} mm is the least."
            yield Fault("/params/eye", "hollows-meet", detail, None)
