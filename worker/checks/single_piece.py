"""Does the bait leave the mould in one piece?"""

from __future__ import annotations

from worker.checks.answer import Answer, Remedy
from worker.checks.joint_pull import spare_pull
from worker.checks.search import Aim, remedies
from worker.checks.steps import UNKNOWN
from worker.checks.subject import Subject


def single_piece(subject: Subject) -> Answer:
    """Counts the stretches that hang together."""
    pieces = subject.pieces
    if pieces == 1:
        return Answer("single_piece", "pass", 1, 1, "pieces", "The bait is one piece.")
    first = subject.body.runs[0][1]
    text = f"The bait falls into {pieces} pieces; the first parts {first:.3g} mm from the nose."
    where = {"station_mm": round(first, 3)}
    return Answer("single_piece", "fail", pieces, 1, "pieces", text, where, _remedies(subject) if subject.mends else ())


def _remedies(subject: Subject) -> tuple[Remedy, ...]:
    """Changes that hold the pull too, where there are any: one piece that tears at once is no remedy."""
    strong = remedies(subject, Aim("single_piece", spare_pull, _pieces, "{} piece that holds"))
    return strong or remedies(subject, Aim("single_piece", _one, _pieces, "{} piece"))


def _one(subject: Subject) -> float:
    return 0.0 if subject.pieces == 1 else UNKNOWN


def _pieces(subject: Subject) -> float:
    return float(subject.pieces)
