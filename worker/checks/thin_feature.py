"""Does every part fill?"""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.places import Thinnest
from worker.checks.search import Aim, remedies, remedies_in_turn
from worker.checks.steps import UNKNOWN
from worker.checks.subject import Subject
from worker.strands.strand import StrandKind, TrunkKind

SELDOM_FILLS_MM = 0.8
"""Thinner than this seldom fills or soon tears, in any mould (common practice, no source)."""
LIMB_SHARE = 2 / 3
"""Of the trunk's limit, what passes of a limb: tips of 0.8 to 1.5 mm fill where a body takes 1.2 (common practice)."""


def thin_limit(subject: Subject, kind: StrandKind) -> float:
    """The least thickness, mm, that passes of a kind of strand: the limit of the trunk, of limbs two thirds of it.

    Of limbs no less than 0.8 mm is asked for that, unless the limit itself is less.
    """
    return limit_of_kind(subject.limit("thin_feature"), kind)


def limit_of_kind(limit: float, kind: StrandKind) -> float:
    """The same of another limit of the trunk, mm."""
    if kind in get_args(TrunkKind):
        return limit
    return min(limit, max(SELDOM_FILLS_MM, LIMB_SHARE * limit))


def thinnest_for_its_kind(subject: Subject) -> Thinnest:
    """The place that is thinnest for what has to fill there."""
    return min(subject.thin_places, key=lambda place: round(place.across / thin_limit(subject, place.kind), 9))


def thin_feature(subject: Subject) -> Answer | None:
    """The place thinnest for its kind, tips left out, against what fills (trunk 1.2 mm, limbs 0.8 mm: judgement).

    Not asked of a bait in pieces: its thinnest place is none.
    """
    if subject.pieces > 1:
        return None
    thinnest = thinnest_for_its_kind(subject)
    limit = thin_limit(subject, thinnest.kind)
    verdict = graded(thinnest.across, limit, min(SELDOM_FILLS_MM, limit))
    mended = () if verdict == "pass" or not subject.mends else _remedies(subject)
    on_trunk = thinnest.kind == "trunk" or any(each.name == thinnest.strand for each in subject.ligaments)
    place = "the nose" if on_trunk else f"the root of the {thinnest.strand}"
    text = (
        f"The thinnest place is {thinnest.across:.3g} mm, {thinnest.station:.3g} mm from {place}; {limit:g} mm fills."
    )
    where = {"strand": thinnest.strand, "station_mm": round(thinnest.station, 3)}
    return Answer("thin_feature", verdict, thinnest.across, limit, "mm", text, where, mended)


def _remedies(subject: Subject) -> tuple[Remedy, ...]:
    whole = Aim("thin_feature", _spare, _across, "{} mm at the thinnest")
    if not subject.limbs:
        return remedies(subject, whole)

    def worst(other: Subject) -> Aim:
        place = thinnest_for_its_kind(other)
        kind, way, limit = place.kind, place.way, thin_limit(other, place.kind)
        key = "thin_feature" if kind == "trunk" else f"thin_feature of {kind}"
        # One way at a time: a claw that is thin both ways needs a change for each.
        return replace(whole, check=key, margin=lambda one: one.thinnest_of_kind(kind, (way,)).across - limit)

    return remedies_in_turn(subject, whole, worst)


def _spare(subject: Subject) -> float:
    """What the place that is thinnest for its kind has beyond its limit, mm; of a bait in pieces unknown."""
    if subject.pieces > 1:
        return UNKNOWN
    place = thinnest_for_its_kind(subject)
    return place.across - thin_limit(subject, place.kind)


def _across(subject: Subject) -> float:
    return thinnest_for_its_kind(subject).across
