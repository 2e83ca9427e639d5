"""What the check of the joints says where a cut through the solid finds a weaker place than any plane."""

from __future__ import annotations

import math
from collections.abc import Sequence

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.cut_remedies import CutAgain, holds, shaped
from worker.checks.cuts import Torn, torn
from worker.checks.grades import grade_patch, grade_words
from worker.checks.joint_pull import AIM, CAUTION_SHARE, less_asked
from worker.measures.solid.tear_section import TearSection
from worker.request.sections import JOINT_PULL
from worker.values.parameter import six_digits
from worker.values.plastics import BUILT_IN

_WORDS = {"tear": "tears", "peel": "peels"}


def joint_cut(planes: Answer, weakest: Torn, sections: Sequence[TearSection], cut_again: CutAgain) -> Answer:
    """The answer of the planes with the weaker place, which lies in no plane of theirs, before it.

    `cut_again` cuts other shapes, for remedies.
    """
    section, (mode, pull, _, _) = weakest.section, weakest.pulls
    verdict = graded(pull, weakest.limit, CAUTION_SHARE * weakest.limit)
    text = (
        f"A cut through the solid finds a weaker place that no plane sees: the {in_words(section)} {_WORDS[mode]} off "
        f"over {section.area:.3g} mm2 (give or take {section.uncertainty:.2g}) and holds {pull:.3g} N of the "
        f"{weakest.limit:g} N asked. By planes alone: {planes.text}"
    )
    where = {
        "view": "cut",
        "strand": section.extremity,
        "station_mm": round(weakest.station, 3),
        "centre_mm": [six_digits(each) for each in section.middle.tolist()],
        "normal": [six_digits(each) for each in section.normal.tolist()],
    }
    mended = () if verdict == "pass" or not weakest.subject.mends else _remedies(weakest, sections, cut_again)
    return Answer("joint_pull", verdict, pull, weakest.limit, "N", text, where, mended)


def in_words(section: TearSection) -> str:
    """What is lost: "nose", "tail end", "left claw"."""
    return section.extremity.replace("_", " ")


def _remedies(weakest: Torn, sections: Sequence[TearSection], cut_again: CutAgain) -> tuple[Remedy, ...]:
    """A change of shape, cut again, and a firmer plastic; else, of the trunk, the pull it can be asked for."""
    change, firmer = shaped(weakest, cut_again), _firmer(weakest, sections)
    found = tuple(each for each in (change, firmer) if each is not None)
    return found or _asked_less(weakest, sections)


def _firmer(weakest: Torn, sections: Sequence[TearSection]) -> Remedy | None:
    """A firmer plastic, of which the same cuts tell the pull."""
    subject = weakest.subject
    for grade in BUILT_IN:
        patch = grade_patch(subject, grade)
        firmer = subject.with_patch(patch)
        if firmer is None or firmer.plastic.strength.typical <= subject.plastic.strength.typical:
            continue
        if holds(firmer, sections):
            gives = torn(firmer, weakest.section).pulls[1]
            return Remedy(f"{grade_words(subject, grade)}: holds {gives:.3g} N", patch, gives)
    return None


def _asked_less(weakest: Torn, sections: Sequence[TearSection]) -> tuple[Remedy, ...]:
    subject, pull = weakest.subject, weakest.pulls[1]
    if weakest.section.kind != "trunk":
        asked_less = less_asked(subject, (weakest.section.kind, pull))
        lower = [subject.with_patch(each.patch) for each in asked_less]
        return asked_less if all(each is not None and holds(each, sections) for each in lower) else ()
    asked = math.floor(10 * pull / AIM * subject.joint_limit / weakest.limit) / 10
    if asked < JOINT_PULL.minimum:
        return ()
    patch = {"require": {"joint_pull_n": asked}}
    lighter = subject.with_patch(patch)
    if lighter is None or not holds(lighter, sections):
        return ()
    text = f"ask it for {asked:g} N: as it is cast it does not hold {subject.joint_limit:g} N"
    return (Remedy(text, patch, pull),)
