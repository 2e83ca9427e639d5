"""Does every part fill?"""

from __future__ import annotations

from dataclasses import replace

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.search import Aim, remedies, remedies_in_turn
from worker.checks.steps import UNKNOWN
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
    mended = () if verdict == "pass" else _remedies(subject, limit)
    on_trunk = thinnest.kind == "trunk" or any(each.name == thinnest.strand for each in subject.ligaments)
    place = "the nose" if on_trunk else f"the root of the {thinnest.strand}"
    text = (
        f"The thinnest place is {thinnest.across:.3g} mm, {thinnest.station:.3g} mm from {place}; {limit:g} mm fills."
    )
    where = {"strand": thinnest.strand, "station_mm": round(thinnest.station, 3)}
    return Answer("thin_feature", verdict, thinnest.across, limit, "mm", text, where, mended)


def _remedies(subject: Subject, limit: float) -> tuple[Remedy, ...]:
    def spare(other: Subject) -> float:
        return other.thinnest.across - limit if other.pieces == 1 else UNKNOWN

    whole = Aim("thin_feature", spare, _across, "{} mm at the thinnest")
    if not subject.limbs:
        return remedies(subject, whole)

    def worst(other: Subject) -> Aim:
        kind, way = other.thinnest.kind, other.thinnest.way
        key = "thin_feature" if kind == "trunk" else f"thin_feature of {kind}"
        # One way at a time: a claw that is thin both ways needs a change for each.
        return replace(whole, check=key, margin=lambda one: one.thinnest_of_kind(kind, (way,)).across - limit)

    return remedies_in_turn(subject, whole, worst)


def _across(subject: Subject) -> float:
    return subject.thinnest.across
