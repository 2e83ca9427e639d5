"""Remedies: the smallest change of one number that makes a check pass."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from worker.checks.answer import Remedy
from worker.checks.grades import grade_patch, grade_words
from worker.checks.rig_dials import rig_dials
from worker.checks.steps import fewest_steps
from worker.checks.subject import Subject
from worker.request.merging import merged
from worker.values.dial import Dial
from worker.values.plastics import BUILT_IN

MOST_TURNS = 8
"""Faults on as many kinds of strands, and ways in which they are thin, are mended together."""


@dataclass(frozen=True)
class Aim:
    """What a remedy has to reach, the figure that it is told by, and how: `{}` in `says` is that figure.

    `margin` is 0 or more where the aim is met, else how far it is missed (steps.UNKNOWN where that cannot be said).
    """

    check: str
    margin: Callable[[Subject], float]
    figure: Callable[[Subject], float]
    says: str


def remedies(subject: Subject, aim: Aim) -> tuple[Remedy, ...]:
    """Changes of one number each that meet the aim."""
    return tuple(_changes(subject, aim, {}, ""))


def remedies_in_turn(subject: Subject, whole: Aim, next_aim: Callable[[Subject], Aim]) -> tuple[Remedy, ...]:
    """One remedy for a bait with faults on several strands: the nearest change for each in turn, all in one patch.

    `next_aim` names what is worst and when that much is mended; `whole` is met when nothing is left.
    """
    patch: dict[str, Any] = {}
    words: list[str] = []
    mended = subject
    for _ in range(MOST_TURNS):
        change = next(_changes(mended, next_aim(mended), {}, ""), None)
        if change is None:
            return ()
        patch = merged(patch, change.patch)
        words.append(change.text.partition(":")[0])
        changed = subject.with_patch(patch)
        if changed is None:
            return ()
        mended = changed
        if whole.margin(mended) >= 0:
            return (Remedy(_told(whole, mended, ", ".join(words)), patch, whole.figure(mended)),)
    return ()


def remedies_with_plastic(subject: Subject, aim: Aim) -> tuple[Remedy, ...]:
    """As `remedies`; where no single change does, a firmer plastic, or one change together with it."""
    found = remedies(subject, aim)
    if found:
        return found
    for grade in BUILT_IN:
        plastic = grade_patch(subject, grade)
        firmer = subject.with_patch(plastic)
        if firmer is None or firmer.plastic.strength.typical <= subject.plastic.strength.typical:
            continue
        words = grade_words(subject, grade)
        if aim.margin(firmer) >= 0:
            return (Remedy(_told(aim, firmer, words), plastic, aim.figure(firmer)),)
        found = tuple(_changes(firmer, aim, plastic, f" in {words}"))
        if found:
            return found
    return ()


def _changes(subject: Subject, aim: Aim, patch: Mapping[str, Any], also: str) -> Iterator[Remedy]:
    for dial in (*subject.request.bait.dials(aim.check), *rig_dials(subject, aim.check)):
        found = _nearest(subject, dial, aim)
        if found is not None:
            steps, mended = found
            words = dial.words(steps) + also
            yield Remedy(_told(aim, mended, words), merged(patch, dial.patch(steps)), aim.figure(mended))


def _told(aim: Aim, mended: Subject, words: str) -> str:
    return f"{words}: {aim.says.format(f'{aim.figure(mended):.3g}')}"


def _nearest(subject: Subject, dial: Dial, aim: Aim) -> tuple[int, Subject] | None:
    """The fewest steps of the dial that meet the aim; and the subject with them."""
    changed: dict[int, Subject] = {}

    def margin(steps: int) -> float | None:
        other = subject.with_patch(dial.patch(steps))
        if other is None:
            return None
        changed[steps] = other
        return aim.margin(other)

    steps = fewest_steps(margin, aim.margin(subject), dial.most)
    return None if steps is None else (steps, changed[steps])
