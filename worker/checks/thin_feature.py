"""Does every part fill?"""

from __future__ import annotations

from worker.checks.answer import Answer, graded
from worker.checks.search import Aim, remedies
from worker.checks.subject import Subject

SELDOM_FILLS_MM = 0.8
"""Thinner than this seldom fills or soon tears, in any mould (common practice, no source)."""


def thin_feature(subject: Subject) -> Answer | None:
    """The thinnest place, its tips left out, against what fills (1.2 mm in aluminium, 0.8 mm in silicone: judgement).

    Not asked of a bait in pieces: its thinnest place is none.
    """
    if subject.pieces > 1:
        return None
    thinnest, limit = subject.thinnest, subject.limit("thin_feature")
    verdict = graded(thinnest.across, limit, min(SELDOM_FILLS_MM, limit))
    on_trunk = thinnest.kind == "trunk"
    aim = Aim(
        "thin_feature" if on_trunk else f"thin_feature of {thinnest.kind}",
        lambda other: other.pieces == 1 and other.thinnest.across >= limit,
        _across,
        "{} mm at the thinnest",
    )
    mended = () if verdict == "pass" else remedies(subject, aim)
    place = "the nose" if on_trunk else f"the root of the {thinnest.strand}"
    text = (
        f"The thinnest place is {thinnest.across:.3g} mm, {thinnest.station:.3g} mm from {place}; {limit:g} mm fills."
    )
    where = {"strand": thinnest.strand, "station_mm": round(thinnest.station, 3)}
    return Answer("thin_feature", verdict, thinnest.across, limit, "mm", text, where, mended)


def _across(subject: Subject) -> float:
    return subject.thinnest.across
