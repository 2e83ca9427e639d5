"""A strand's section where it is widest."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from worker.strands.roots import Array
from worker.strands.strand import Strand

AROUND = 96
"""Corners of a section."""
_LOOKS = 64


@lru_cache(maxsize=64)
def widest_section(strand: Strand) -> Array:
    """The rim of the section where the strand is widest, as seen from the nose, down the page; (n, 2), mm."""
    begin, end = strand.body.runs[0]
    station = begin + (end - begin) * np.arange(1, _LOOKS) / _LOOKS
    widest = int(strand.body.sizes(station)[0].argmax())
    sizes = strand.body.sizes(station[widest : widest + 1])
    left, up = strand.body.section.rim(*sizes, AROUND)
    return np.stack([-left[0], -up[0]], axis=1)
