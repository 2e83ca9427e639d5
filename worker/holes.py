"""The part of a build that counts the holes through its solid, and tells which of them nothing explains."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from worker.checks.answer import Answer
from worker.checks.subject import Subject
from worker.checks.through_hole import through_hole
from worker.solid.join import joined
from worker.solid.solid import Solid
from worker.strands.strand import Strand

BEFORE = "resolution"
"""The answer that its own stands before, as the table of checks has them; that one is always given."""


def checked_for_holes(subject: Subject, answers: Sequence[Answer], solid: Solid) -> list[Answer]:
    """The checks' answers with that of the holes, which a build alone can give."""
    tolerance = subject.request.tolerance

    def holes(strands: Sequence[Strand]) -> int:
        return joined(strands, tolerance).through_holes

    def of_others(other: Subject) -> tuple[int, int]:
        bored = joined(other.strands, tolerance, other.hollows).through_holes
        return bored, _own(other, bored, tolerance)

    found = solid.through_holes
    answer = through_hole(subject, found, _own(subject, found, tolerance), holes, of_others)
    answer = replace(answer, silenced=subject.silenced(answer.check))
    place = [each.check for each in answers].index(BEFORE)
    return [*answers[:place], answer, *answers[place:]]


def _own(subject: Subject, found: int, tolerance: float) -> int:
    """Holes of the strands with nothing taken out; they are joined for it only where that can matter."""
    return joined(subject.strands, tolerance).through_holes if found and subject.hollows else found
