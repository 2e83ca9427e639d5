"""Does the hook's point come clear of the plastic?"""

from __future__ import annotations

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.search import Aim, remedies
from worker.checks.subject import Subject

CAUTION_SHARE = 0.5
"""From this share of the limit up it is a caution and not a failure (judgement)."""


def hook_clearance(subject: Subject) -> Answer | None:
    """What the plastic leaves free of the gape, against what a hook set asks (3 mm: judgement); with a rig only."""
    rig, hook = subject.rig, subject.hook
    if rig is None or hook is None:
        return None
    limit = subject.limit("hook_clearance")
    verdict = graded(hook.clearance, limit, CAUTION_SHARE * limit)
    if hook.clearance >= 0:
        text = (
            f"Of a gape of {rig.hook.gape:g} mm the plastic fills {rig.hook.gape - hook.clearance:.3g} mm: "
            f"{hook.clearance:.3g} mm stay clear of the {limit:g} mm asked."
        )
    else:
        text = (
            f"The plastic fills a gape of {rig.hook.gape:g} mm and {-hook.clearance:.3g} mm more: the point does not "
            f"come out, and {limit:g} mm clear are asked."
        )
    mended = () if verdict == "pass" or not subject.mends else _remedies(subject)
    where = {"strand": "trunk", "station_mm": round(rig.station, 3)}
    return Answer("hook_clearance", verdict, hook.clearance, limit, "mm", text, where, mended)


def _remedies(subject: Subject) -> tuple[Remedy, ...]:
    def spare(other: Subject) -> float:
        return _clear(other) - other.limit("hook_clearance")

    return remedies(subject, Aim("hook_clearance", spare, _clear, "{} mm clear"))


def _clear(subject: Subject) -> float:
    return 0.0 if subject.hook is None else subject.hook.clearance
