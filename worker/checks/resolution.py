"""Does the mesh show the relief?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from worker.checks.answer import Answer, Remedy
from worker.checks.subject import Subject
from worker.measures.strand.shallowest import RAISED_SHARE, Shallow, shallow_places
from worker.request.bounds import too_fine
from worker.request.sections import TOLERANCE

HAIR = 1 + 1e-9


def resolution(subject: Subject) -> Answer:
    """The mesh's tolerance against the coarsest that shows every relief, round and thin place.

    Never a failure: lengths, volume and joints stay right, and they are those of the full bait.
    """
    place, tolerance = _first_lost(subject), subject.request.tolerance
    root = f"the root of the {place.strand}" if any(limb.name == place.strand for limb in subject.limbs) else "the nose"
    told = f"{place.what.format(f'{place.size:.3g}')}, {place.station:.3g} mm from {root}"
    where = {"strand": place.strand, "station_mm": round(place.station, 3)}
    values = (tolerance, place.needs, "mm")
    if tolerance <= place.needs * HAIR:
        text = f"A mesh within {tolerance:g} mm shows all of the bait; the first to be lost would be {told}."
        return Answer("resolution", "pass", *values, text, where)
    text = (
        f"A mesh within {tolerance:g} mm may leave things away, first {told}: that takes {place.needs:.3g} mm or finer."
    )
    return Answer("resolution", "caution", *values, text, where, tuple(_remedies(subject)) if subject.mends else ())


def _first_lost(subject: Subject) -> Shallow:
    """What the coarsest tolerance shows least of: of equal ones the first."""
    thin = subject.thinnest
    thinnest = Shallow(thin.across, RAISED_SHARE * thin.across, "a place {} mm thick", thin.strand, thin.station)
    return min((thinnest, *shallow_places(subject.strands)), key=lambda place: round(place.needs, 9))


def _remedies(subject: Subject) -> Iterator[Remedy]:
    """The full bait in place of a preview, with a finer tolerance where that alone is not enough."""
    request, needs = subject.request, _first_lost(subject).needs
    full: dict[str, Any] = {"detail": "full"} if request.coarse else {}
    steps = math.floor(needs * HAIR / TOLERANCE.step)
    finer = {"tolerance_mm": round(steps * TOLERANCE.step, 6)}
    for patch in (full, {**full, **finer}) if full else (finer,):
        if patch.get("tolerance_mm", TOLERANCE.minimum) < TOLERANCE.minimum:
            continue
        other = subject.with_patch(patch)
        if other is None or any(True for _ in too_fine(other.request.bait, other.request.tolerance)):
            continue
        tolerance = other.request.tolerance
        if tolerance <= needs * HAIR:
            words = [
                *(["the full bait"] if full else []),
                *([f"a tolerance of {tolerance:g} mm"] if patch != full else []),
            ]
            yield Remedy(f"{' with '.join(words)}: a mesh within {tolerance:g} mm", patch, tolerance)
            return
