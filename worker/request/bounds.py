"""What would be too much work, told by arithmetic before any of it is done."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.request.sections import TOLERANCE
from worker.strands.fineness import triangles_of
from worker.styles.bait import Bait, StyledBait

MOST_TRIANGLES = 500_000
"""A binary STL of 25 MB, and with every file well within a job's limits of time and memory (judgement)."""
AS_DEFAULT = float(TOLERANCE.default)


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
    allowed = None if do is None else {"minimum": do, "maximum": TOLERANCE.maximum, "unit": "mm"}
    yield Fault("/tolerance_mm", "too-many-triangles", detail, allowed)


def _coarser(tolerance: float) -> Iterator[float]:
    steps = math.floor(tolerance / TOLERANCE.step + 1e-9)
    most = round(TOLERANCE.maximum / TOLERANCE.step)
    return (round(step * TOLERANCE.step, 6) for step in range(steps + 1, most + 1))
