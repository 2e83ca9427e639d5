"""Do the beads run into each other enough?"""

from __future__ import annotations

import numpy as np

from worker.checks.answer import Answer, Verdict
from worker.checks.search import Aim, remedies
from worker.checks.subject import Subject
from worker.strands.beads import Beads

ENOUGH_NECK = 0.45
"""A neck of this share of its bead makes up for little overlap (judgement)."""


def _beads(subject: Subject) -> Beads | None:
    relief = subject.trunk.relief
    return relief if isinstance(relief, Beads) else None


def overlap_of(subject: Subject) -> float:
    """Least 1 - pitch over mean bead length, over all neighbours."""
    relief = _beads(subject)
    if relief is None:
        raise TypeError("only beads overlap")
    centres, widths = relief.places(subject.trunk.girth, subject.trunk.path.length)
    lengths = relief.length_ratio * widths
    return float((1 - np.diff(centres) / ((lengths[1:] + lengths[:-1]) / 2)).min())


def _neck_share(subject: Subject) -> float:
    joints = subject.joints
    if subject.pieces > 1:
        return 0.0
    return float((joints.diameter / joints.smaller_bead).min()) if len(joints) else 1.0


def spare_overlap(subject: Subject) -> float:
    """By how much the beads overlap enough, or their neck is enough without; below 0: by how much they fall short."""
    value = overlap_of(subject)
    over = value - subject.limit("overlap") + 1e-9
    # The neck is looked at last: it costs the whole outline.
    return over if over >= 0 or value < -1e-9 else max(over, _neck_share(subject) - ENOUGH_NECK)


def _verdict(subject: Subject) -> Verdict:
    if overlap_of(subject) < -1e-9:
        return "fail"
    return "pass" if spare_overlap(subject) >= 0 else "caution"


def overlap(subject: Subject) -> Answer | None:
    """Fails where beads part, cautions below the limit unless the neck is thick; not asked of beads on a core."""
    beads = _beads(subject)
    if beads is None or beads.core is not None:
        return None
    value, limit, verdict = overlap_of(subject), subject.limit("overlap"), _verdict(subject)
    text = (
        f"Neighbouring beads overlap by {value * 100:.3g} % of their length"
        if value >= 0
        else f"Neighbouring beads stand {-value * 100:.3g} % of their length apart"
    )
    asked = f"at least {limit * 100:.3g} % is asked"
    if 0 <= value < limit:
        asked += f", or a neck of {ENOUGH_NECK * 100:.3g} % of a bead: theirs has {_neck_share(subject) * 100:.3g} %"
    aim = Aim("overlap", spare_overlap, overlap_of, "overlap {}")
    mended = () if verdict == "pass" or not subject.mends else remedies(subject, aim)
    return Answer("overlap", verdict, value, limit, "", f"{text}; {asked}.", None, mended)
