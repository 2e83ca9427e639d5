"""Every check of a mould in the order of an answer: one file each or a few that belong together, one line here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from worker.checks.answer import Answer
from worker.checks.subject import Subject
from worker.mould.checks.bed import bed
from worker.mould.checks.filling import fill, gate, vent
from worker.mould.checks.hollow import core, open_face
from worker.mould.checks.mending import RELEASE, mended
from worker.mould.checks.parts import island, wall
from worker.mould.checks.release import core_remedy, trapped, undercut
from worker.mould.mould import Mould

_CHECKS: tuple[Callable[[Mould], Answer | None], ...] = (
    undercut,
    trapped,
    core,
    open_face,
    island,
    vent,
    gate,
    wall,
    bed,
)


def check_mould(subject: Subject, mould: Mould) -> list[Answer]:
    """The answer to every check that this mould can be asked."""
    asked = [fill(subject, mould), *(check(mould) for check in _CHECKS)]
    answers = [answer for answer in asked if answer is not None]
    held = [number for number, each in enumerate(answers) if each.check in RELEASE and each.verdict != "pass"]
    if held and (pins := core_remedy(subject, mould)) is not None:
        for number in held:
            gives = pins.gives if answers[number].check == "undercut" else 0.0
            remedies = (replace(pins, gives=gives), *answers[number].remedies)
            answers[number] = replace(answers[number], remedies=remedies)
    answers = mended(subject, mould, answers)
    return [replace(each, silenced=subject.silenced(each.check)) for each in answers]
