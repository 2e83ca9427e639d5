"""Whether strands are the same on both sides of a bait: then one side tells of both."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from worker.strands.path import HandedPath, Path, StraightPath
from worker.strands.strand import Strand

LOOKS = 9
"""Places on a path that are asked whether it lies in the middle."""
HAIR = 1e-9
"""mm, and of a direction's length."""


def is_even(strands: Sequence[Strand]) -> bool:
    """Whether all lie along the middle or have counterparts on the other side."""
    paths = [strand.path for strand in strands]
    there = {id(path) for path in paths}
    handed = {id(path.of) for path in paths if isinstance(path, HandedPath)}
    alone = (path for path in paths if not isinstance(path, HandedPath) and id(path) not in handed)
    return handed <= there and all(_in_the_middle(path) for path in alone)


def _in_the_middle(path: Path) -> bool:
    """Whether a path lies in the plane between the sides, the sections' own axes in it or square to it."""
    station = path.length * np.arange(LOOKS) / (LOOKS - 1)
    points, left, back = path.frames(station[:1] if isinstance(path, StraightPath) else station)
    along = path.direction[1] if isinstance(path, StraightPath) else 0.0
    across = np.minimum(np.abs(left[:, 1]), np.abs(back[:, 1]))
    return bool((np.abs(points[:, 1]) < HAIR).all() and (across < HAIR).all()) and abs(along) < HAIR
