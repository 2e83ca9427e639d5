"""What would be too much work, told by arithmetic before any of it is done."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from worker.errors import Fault
from worker.request.effort import MOST_SECONDS, Asked, asked
from worker.request.sections import TOLERANCE
from worker.strands.fineness import triangles_of
from worker.strands.strand import Strand
from worker.styles.bait import Bait, StyledBait

MOST_TRIANGLES = 500_000
"""A binary STL of 25 MB, and with every file well within a job's limits of time and memory (judgement)."""
AS_DEFAULT = float(TOLERANCE.default)
MOST_LIMBS = 60
"""No bait has more."""


def too_fine(bait: Bait, tolerance: float) -> Iterator[Fault]:
    """A mesh of more triangles than may be asked for, and the tolerance that would do."""
    if isinstance(bait, StyledBait) and tolerance >= AS_DEFAULT:
        return  # no style comes near the bound at this tolerance, which a test holds
    strands = (*bait.strands(), *bait.hollows())
    if triangles_of(strands, tolerance) <= MOST_TRIANGLES:
        return
    do = next((each for each in _coarser(tolerance) if triangles_of(strands, each) <= MOST_TRIANGLES), None)
    would = "take fewer or smaller strands" if do is None else f"a tolerance of {do:g} mm would do"
    detail = f"At {tolerance:g} mm this bait has over {MOST_TRIANGLES:,} triangles; {would}."
    yield Fault("/tolerance_mm", "too-many-triangles", detail, _from(do))


def too_long(normal: Mapping[str, Any], bait: Bait, coarser: float) -> Iterator[Fault]:
    """A build that would not end within a job's time, and what would: another tolerance, no cuts, fewer cavities
    or outputs.

    `coarser`: how many times the request's tolerance the bait is meshed at; only cuts are made at the tolerance itself.
    """
    told = asked(normal)
    if told.seconds(MOST_TRIANGLES, MOST_LIMBS, MOST_TRIANGLES) <= MOST_SECONDS:
        return  # whatever the bait, which has not to be looked at
    strands = (*bait.strands(), *bait.hollows())
    tolerance = float(normal["tolerance_mm"])
    if (spent := _seconds(told, strands, tolerance, coarser)) <= MOST_SECONDS:
        return
    takes = f"So built, this bait takes about {spent:.0f} s of work, and at most {MOST_SECONDS:g} s may be asked for"
    enough = (each for each in _coarser(tolerance) if _seconds(told, strands, each, coarser) <= MOST_SECONDS)
    if (do := next(enough, None)) is not None:
        yield Fault("/tolerance_mm", "too-long", f"{takes}; a tolerance of {do:g} mm would do.", _from(do))
    elif told.cut and _seconds(asked(normal, cut=False), strands, tolerance, coarser) <= MOST_SECONDS:
        detail = f"{takes}; without cuts through the solid it would do."
        yield Fault("/checks/joint_pull/view", "too-long", detail, {"choices": ["plane"]})
    elif cavities := _cavities(told, strands, tolerance, coarser):
        detail = f"{takes}; a mould of {cavities} {'cavity' if cavities == 1 else 'cavities'} would do."
        yield Fault("/mould/cavities", "too-long", detail, {"minimum": 1, "maximum": cavities, "whole": True})
    else:
        fewer = _fewer(normal, strands, tolerance, coarser)
        detail = f"{takes}; {', '.join(fewer)} alone would do."
        yield Fault("/outputs", "too-long", detail, {"choices": fewer})


def _seconds(told: Asked, strands: Sequence[Strand], tolerance: float, coarser: float) -> float:
    triangles = triangles_of(strands, coarser * tolerance)
    full = triangles_of(strands, tolerance) if told.cut and coarser != 1 else triangles
    return told.seconds(triangles, sum(strand.limb for strand in strands), full)


def _cavities(told: Asked, strands: Sequence[Strand], tolerance: float, coarser: float) -> int:
    """The most cavities, fewer than are asked for, that would do; 0 where none do."""
    fewer = range(told.cavities - 1, 0, -1) if "mould" in told.outputs else ()
    enough = (n for n in fewer if _seconds(replace(told, cavities=n), strands, tolerance, coarser) <= MOST_SECONDS)
    return next(enough, 0)


def _fewer(normal: Mapping[str, Any], strands: Sequence[Strand], tolerance: float, coarser: float) -> list[str]:
    """The outputs that are left when the longest are left out, one after the other, until the others do."""
    left = list(normal["outputs"])

    def spent(outputs: Sequence[str]) -> float:
        return _seconds(asked({**normal, "outputs": outputs}), strands, tolerance, coarser)

    while len(left) > 1 and spent(left) > MOST_SECONDS:
        left.remove(min(left, key=lambda output: spent([each for each in left if each != output])))
    return left


def _from(least: float | None) -> dict[str, object] | None:
    return None if least is None else {"minimum": least, "maximum": TOLERANCE.maximum, "unit": "mm"}


def _coarser(tolerance: float) -> Iterator[float]:
    steps = math.floor(tolerance / TOLERANCE.step + 1e-9)
    most = round(TOLERANCE.maximum / TOLERANCE.step)
    return (round(step * TOLERANCE.step, 6) for step in range(steps + 1, most + 1))
