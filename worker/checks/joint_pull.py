"""Does every joint hold the pull that is asked of it?"""

from __future__ import annotations

import math

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.search import Aim, remedies_with_plastic
from worker.checks.steps import UNKNOWN
from worker.checks.subject import Subject
from worker.request.sections import JOINT_PULL

CAUTION_SHARE = 0.8
"""From this share of the limit up a joint is a caution and not a failure (judgement)."""
AIM = 1.1
"""Remedies aim at this times the limit (judgement)."""


def spare_pull(subject: Subject) -> float:
    """What the weakest joint holds beyond 1.1 times what is asked, N; of a bait in pieces unknown."""
    weakest = subject.weakest
    if weakest is None:
        return math.inf if subject.pieces == 1 else UNKNOWN
    return float(subject.joints.pull[weakest]) - AIM * subject.joint_limit


def _pull(subject: Subject) -> float:
    weakest = subject.weakest
    # Beads that run into a plain rod have no neck; the rod itself then bears the pull.
    return float(subject.joints.pull[weakest]) if weakest is not None else subject.rod_pull


def joint_pull(subject: Subject) -> Answer | None:
    """The weakest joint against its limit; not asked of a bait in pieces or without a neck."""
    weakest = subject.weakest
    if weakest is None:
        return None
    joints, limit = subject.joints, subject.joint_limit
    pull = float(joints.pull[weakest])
    verdict = graded(pull, limit, CAUTION_SHARE * limit)
    girth, across = 2 * float(subject.body.side.crest_y.max()), float(joints.diameter[weakest])
    joint = subject.trunk.relief.joint_in_words(girth, across, on_core=bool(joints.on_core[weakest]))
    text = f"{joint} and hold {pull:.3g} N of the {limit:g} N asked."
    mended = () if verdict == "pass" else _remedies(subject, pull)
    where = {"joint": weakest + 1, "station_mm": round(float(joints.station[weakest]), 3)}
    return Answer("joint_pull", verdict, pull, limit, "N", text, where, mended)


def _remedies(subject: Subject, pull: float) -> tuple[Remedy, ...]:
    """Changes of the bait; where none is enough, the pull that this bait can be asked for."""
    found = remedies_with_plastic(subject, Aim("joint_pull", spare_pull, _pull, "holds {} N"))
    asked = math.floor(10 * pull / AIM) / 10
    if found or asked < JOINT_PULL.minimum:
        return found
    text = f"ask it for {asked:g} N: no bait of this kind holds {subject.joint_limit:g} N"
    return (Remedy(text, {"require": {"joint_pull_n": asked}}, pull),)
