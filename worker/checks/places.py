"""Places of a bait that checks name."""

from __future__ import annotations

from dataclasses import dataclass

from worker.strands.strand import StrandKind


@dataclass(frozen=True)
class Thinnest:
    """The thinnest place between two thicker ones: mm across, at mm from the root of its strand (the trunk's: nose).

    `way` is 0 where it is its width that is thin, 1 for its height.
    """

    across: float
    station: float
    strand: str
    kind: StrandKind
    way: int = 0
