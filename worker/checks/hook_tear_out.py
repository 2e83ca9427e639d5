"""Does the hook hold in the plastic?"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.search import Aim, remedies, remedies_with_plastic
from worker.checks.subject import Subject
from worker.measures.hook.along import trunk_length
from worker.values.questions import CHECKS
from worker.values.stations import in_text

CAUTION_SHARE = 0.8
"""From this share of the limit up it is a caution and not a failure (judgement)."""
AIM = 1.1
"""Remedies aim at this times the limit (judgement)."""
PLACES = 20
"""Parts of the trunk between which a hook is tried that holds nothing where it is."""


def hook_tear_out(subject: Subject) -> Answer | None:
    """The pull at which the wire cuts through, against what is asked of it (5 N: judgement); asked with a rig only."""
    rig, hook = subject.rig, subject.hook
    if rig is None or hook is None:
        return None
    limit = subject.limit("hook_tear_out")
    verdict = graded(hook.hold, limit, CAUTION_SHARE * limit)
    text = (
        f"A wire of {rig.hook.wire:g} mm crosses {hook.crossed:.3g} mm of plastic {rig.station:.3g} mm from the nose "
        f"and pulls through it at {hook.hold:.3g} N of the {limit:g} N asked ({hook.hold_low:.2g} to "
        f"{hook.hold_high:.2g} N by the range of its tear energy, which is judgement); "
    )
    stronger = [int(joint) + 1 for joint in np.flatnonzero(subject.joint_groups[0].joints.pull > hook.hold)]
    mended = () if verdict == "pass" or not subject.mends else _remedies(subject, hook.hold)
    where = {"strand": "trunk", "station_mm": round(rig.station, 3), "stronger_joints": stronger}
    return Answer("hook_tear_out", verdict, hook.hold, limit, "N", text + _in_words(stronger), where, mended)


def _in_words(stronger: list[int]) -> str:
    """Which of the trunk's joints hold more than the hook: more buys nothing there."""
    if not stronger:
        return "no joint of the trunk holds more than that."
    # Joints are numbered from the nose on: those of one run are told by its ends.
    starts = [joint for joint in stronger if joint - 1 not in stronger]
    ends = [joint for joint in stronger if joint + 1 not in stronger]
    runs = [f"{a}" if a == b else f"{a} to {b}" for a, b in zip(starts, ends, strict=True)]
    if len(stronger) == 1:
        return f"joint {runs[0]} holds more than that, which buys nothing."
    return f"joints {', '.join(runs)} hold more than that, which buys nothing."


def spare_hold(subject: Subject) -> float:
    """What the hook holds beyond 1.1 times what is asked, N."""
    return _hold(subject) - AIM * subject.limit("hook_tear_out")


def _hold(subject: Subject) -> float:
    return 0.0 if subject.hook is None else subject.hook.hold


def _remedies(subject: Subject, hold: float) -> tuple[Remedy, ...]:
    """A thicker wire, another place, a firmer plastic; where none is enough, the pull that it can be asked for."""
    aim = Aim("hook_tear_out", spare_hold, _hold, "holds {} N")
    firmer = Aim("plastic alone", spare_hold, _hold, "holds {} N")
    found = (*remedies(subject, aim), *remedies_with_plastic(subject, firmer)) or remedies_with_plastic(subject, aim)
    return found or _or_ask_less(subject, hold)


def _or_ask_less(subject: Subject, hold: float) -> tuple[Remedy, ...]:
    """The pull that the hook can be asked for where it is; where that is none to speak of, where it holds the most."""
    declared = CHECKS["hook_tear_out"].limit
    if declared is None:
        return ()
    place: dict[str, Any] = {}
    words = ""
    if math.floor(10 * hold / AIM) / 10 < declared.minimum:
        hold, place, words = _firmest_place(subject, hold)
    asked = math.floor(10 * hold / AIM) / 10
    if asked < declared.minimum:
        return ()
    patch = {**place, "checks": {"hook_tear_out": {"limit": asked}}}
    return (Remedy(f"{words}ask it for {asked:g} N: no hook holds more there", patch, hold),)


def _firmest_place(subject: Subject, hold: float) -> tuple[float, dict[str, Any], str]:
    """Of places along the trunk the one where the hook holds the most: what it holds, N, the patch, and words."""
    best: tuple[float, dict[str, Any], str] = (hold, {}, "")
    length = trunk_length(subject.trunk_strands)
    for station in sorted({round(length * share / PLACES) for share in range(1, PLACES)}):
        patch = {"rig": {"station": in_text(station)}}
        moved = subject.with_patch(patch)
        if moved is not None and _hold(moved) > best[0] * (1 + 1e-9):
            best = _hold(moved), patch, f"put the hook {station:g} mm from the nose and "
    return best
