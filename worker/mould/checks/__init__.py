"""Every check of a mould in the order of an answer: one file each or a few that belong together, one line here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from worker.checks.answer import Answer
from worker.checks.subject import Subject
from worker.mould.checks.filling import gate, vent
from worker.mould.checks.parts import bed, island, wall
from worker.mould.checks.release import trapped, undercut
from worker.mould.mould import Mould

_CHECKS: tuple[Callable[[Mould], Answer | None], ...] = (undercut, trapped, island, vent, gate, wall, bed)


def check_mould(subject: Subject, mould: Mould) -> list[Answer]:
    """The answer to every check that this mould can be asked."""
    answers = [check(mould) for check in _CHECKS]
    return [replace(each, silenced=subject.silenced(each.check)) for each in answers if each is not None]
