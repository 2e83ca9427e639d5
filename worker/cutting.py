"""The part of a build that cuts the solid to see where it tears, where a request asks for it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from worker.checks.answer import Answer, graded
from worker.checks.cuts import Torn, torn, weakest_torn
from worker.checks.joint_cut import joint_cut
from worker.checks.joint_pull import CAUTION_SHARE
from worker.checks.subject import Subject
from worker.measures.solid.ends import Holding
from worker.measures.solid.plane_section import Surface
from worker.measures.solid.tear import tear_sections
from worker.measures.solid.tear_section import TearSection
from worker.request import Request
from worker.solid.join import joined
from worker.solid.solid import Solid
from worker.values.parameter import six_digits

Sections = Sequence[TearSection]


def wanted(request: Request) -> bool:
    """Whether a request asks for cuts."""
    return bool(request.normal["checks"].get("joint_pull", {}).get("view") == "cut")


def sections_of(subject: Subject, solid: Solid) -> Sections | None:
    """The tear sections of a bait; none of one in pieces, and None where they are not asked for.

    A preview's are those of the full bait, so its solid is made for them.
    """
    request = subject.request
    if not wanted(request):
        return None
    if len(solid.parts) > 1 or subject.pieces > 1:
        return ()
    if request.coarse:
        solid = joined(subject.strands, request.full_tolerance, subject.hollows)
    holding = Holding(subject.trunk_strands, subject.limbs, subject.hold, subject.rig, request.notch_rounding)
    surface = Surface(solid.vertices, solid.triangles)
    return tear_sections(surface, solid.volume, holding, lambda section: torn(subject, section).share)


def figures_of_cuts(subject: Subject, sections: Sections | None) -> dict[str, Any]:
    """`tear_sections`, and `weakest_joint` where a cut is weaker than all that planes see."""
    if sections is None:
        return {"tear_sections": None}
    listed = [_told(torn(subject, section)) for section in sections]
    weakest = weakest_torn(subject, sections)
    return {"tear_sections": listed, **({} if weakest is None else {"weakest_joint": _as_joint(weakest)})}


def checked_with_cuts(subject: Subject, answers: Sequence[Answer], sections: Sections | None) -> list[Answer]:
    """The checks' answers, that of the joints telling of the cuts."""
    weakest = weakest_torn(subject, sections) if sections else None
    if weakest is None or sections is None:
        return list(answers)
    return [joint_cut(each, weakest, sections, _cut_again) if each.check == "joint_pull" else each for each in answers]


def _cut_again(subject: Subject) -> Sections | None:
    """The same of another shape, as its own build would cut it."""
    return sections_of(subject, joined(subject.strands, subject.request.full_tolerance, subject.hollows))


def _told(each: Torn) -> dict[str, Any]:
    section, (mode, pull, low, high) = each.section, each.pulls
    return {
        "extremity": section.extremity,
        "kind": section.kind,
        "station_mm": six_digits(each.station),
        "centre_mm": [six_digits(part) for part in section.middle.tolist()],
        "normal": [six_digits(part) for part in section.normal.tolist()],
        "area_mm2": six_digits(section.area),
        "uncertainty_mm2": six_digits(section.uncertainty),
        "length_mm": six_digits(section.length),
        "thickness_mm": six_digits(section.width),
        "widest_mm": six_digits(section.widest),
        "measured_on": "surface" if section.flat else "grid",
        "refined": section.fine,
        "lost_pct": six_digits(100 * section.lost),
        "notch_factor": six_digits(each.notch_factor),
        "mode": mode,
        "pull_n": six_digits(pull),
        "pull_low_n": six_digits(low),
        "pull_high_n": six_digits(high),
        "limit_n": six_digits(each.limit),
        "verdict": graded(pull, each.limit, CAUTION_SHARE * each.limit),
        "joint": None if each.joint is None else each.joint + 1,
    }


def _as_joint(each: Torn) -> dict[str, Any]:
    told = _told(each)
    same = ("station_mm", "area_mm2", "notch_factor", "pull_n", "pull_low_n", "pull_high_n", "limit_n", "verdict")
    return {
        "joint": None,
        "strand": told["extremity"],
        "kind": "cut",
        **{name: told[name] for name in same},
        "equivalent_diameter_mm": six_digits(2 * math.sqrt(each.section.area / math.pi)),
        "view": "cut",
        "mode": told["mode"],
        "uncertainty_mm2": told["uncertainty_mm2"],
        "centre_mm": told["centre_mm"],
        "normal": told["normal"],
    }
