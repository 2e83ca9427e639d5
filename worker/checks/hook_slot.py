"""Does the slot take the hook?"""

from __future__ import annotations

import math
from typing import Any

from worker.checks.answer import Answer, Remedy
from worker.checks.search import Aim, remedies
from worker.checks.steps import UNKNOWN
from worker.checks.subject import Subject
from worker.measures.hook.slot import SlotRoom, slot_room
from worker.values.rigs import WIRE
from worker.values.stations import in_text


def hook_slot(subject: Subject) -> Answer | None:
    """The room that the wire has in its slot; asked of a rig whose point lies along a bait that has one."""
    rig, room = subject.rig, _room(subject)
    if rig is None or room is None:
        return None
    wire = f"a wire of {rig.hook.wire:g} mm, {rig.station:.3g} mm from the nose"
    slot = f"The slot is {room.width:.3g} mm wide and lies from {room.begin:.3g} to {room.end:.3g} mm"
    where = {"strand": "trunk", "station_mm": round(rig.station, 3)}
    if room.spare >= 0:
        text = f"{slot}; {wire}, has {room.spare:.3g} mm to spare."
        return Answer("hook_slot", "pass", room.spare, 0, "mm", text, where)
    text = f"{slot}: it does not take {wire}."
    mended = _remedies(subject, room) if subject.mends else ()
    return Answer("hook_slot", "fail", room.spare, 0, "mm", text, where, mended)


def _room(subject: Subject) -> SlotRoom | None:
    return None if subject.rig is None else slot_room(subject.rig, subject.trunk_strands, subject.hollows)


def _spare(subject: Subject) -> float:
    room = _room(subject)
    return UNKNOWN if room is None else room.spare


def _remedies(subject: Subject, room: SlotRoom) -> tuple[Remedy, ...]:
    """One change; where that is not enough, a hook that is thin enough in the middle of the slot."""
    found = remedies(subject, Aim("hook_slot", _spare, _spare, "{} mm to spare"))
    if found or subject.rig is None:
        return found
    middle = round((room.begin + room.end) / 2, 1)
    patch: dict[str, Any] = {"rig": {"station": in_text(middle)}}
    words = f"the hook {middle:g} mm from the nose"
    thinner = math.floor(20 * room.width + 1e-9) / 20
    if thinner < subject.rig.hook.wire:
        patch["rig"]["hook"] = {"wire": max(thinner, WIRE.minimum)}
        words += f" and {max(thinner, WIRE.minimum):g} mm of wire"
    mended = subject.with_patch(patch)
    if mended is None or _spare(mended) < 0:
        return ()
    return (Remedy(f"{words}: {_spare(mended):.3g} mm to spare", patch, _spare(mended)),)
