"""Ligaments: what hollows leave standing and a bait hangs by, as the wall of a tube and each of its tentacles."""

from __future__ import annotations

from dataclasses import dataclass

from worker.strands.strand import StrandKind


@dataclass(frozen=True)
class Ligament:
    """One of them; of equal ones one is enough. mm and mm2.

    `station`: how far from the nose. `across`: diameter of the largest ball that goes through. `of_area`: section of
    what it leaves, rounded by `blend`. `words` begins a sentence: "The wall of 1.8 mm holds".
    """

    name: str
    kind: StrandKind
    station: float
    area: float
    across: float
    of_area: float
    blend: float
    words: str
