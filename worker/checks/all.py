"""Every check in the order of an answer: one file each, one line here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from worker.checks.answer import Answer
from worker.checks.hook_clearance import hook_clearance
from worker.checks.hook_slot import hook_slot
from worker.checks.hook_tear_out import hook_tear_out
from worker.checks.joint_pull import joint_pull
from worker.checks.master import master_bed, master_wall
from worker.checks.overlap import overlap
from worker.checks.pour_temperature import pour_temperature
from worker.checks.resolution import resolution
from worker.checks.rod_overhang import rod_overhang
from worker.checks.single_piece import single_piece
from worker.checks.subject import Subject
from worker.checks.thin_feature import thin_feature

_CHECKS: tuple[Callable[[Subject], Answer | None], ...] = (
    single_piece,
    overlap,
    joint_pull,
    hook_tear_out,
    hook_clearance,
    hook_slot,
    thin_feature,
    resolution,
    rod_overhang,
    pour_temperature,
    master_wall,
    master_bed,
)


def check_all(subject: Subject) -> list[Answer]:
    """The answer to every check that the bait can be asked."""
    answers = [check(subject) for check in _CHECKS]
    return [replace(a, silenced=subject.silenced(a.check)) for a in answers if a is not None]
