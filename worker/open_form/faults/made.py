"""Faults of the strands once they are made: roots outside, humps hidden, turns too tight, trunks that do not lie."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from worker.errors import Fault
from worker.open_form.tree import Copy, copies
from worker.strands.closing import HumpsHidden
from worker.strands.strand import Strand
from worker.strands.vectors import cross
from worker.styles.turns import turn_faults

Told = Mapping[str, Any]

LOOKS = np.arange(9) / 8
"""Shares of two paths at which they are held against each other."""
SAME = 0.02
"""Strands nearer to each other than this all along, mm, are in the same place."""


def made_faults(told: Sequence[Told], taken_out: Sequence[Told]) -> Iterator[Fault]:
    """Every fault of the strands as far as they can be made."""
    found: list[Fault] = []
    made = copies(told, found)
    for number in sorted({copy.told for copy in made}):
        copy = next(copy for copy in made if copy.told == number)
        try:
            found += turn_faults(copy.strand, f"/strands/{number}/path")
        except HumpsHidden:  # a flare may hide what the strand alone does not
            found.append(Fault(f"/strands/{number}/root_blend", "relief-hidden", "The root hides the relief."))
    yield from sorted({fault.pointer: fault for fault in found}.values(), key=lambda fault: fault.pointer)
    yield from _beside(told, made)
    yield from _twice(told, made)


def _twice(told: Sequence[Told], made: Sequence[Copy]) -> Iterator[Fault]:
    """Strands that lie all along where another one lies: their skins would be one and the same."""
    at = [copy.strand.path.frames(copy.strand.path.length * LOOKS)[0] for copy in made]
    sizes = [np.stack(copy.strand.body.sizes(copy.strand.path.length * LOOKS)) for copy in made]
    shown: set[int] = set()
    for later in range(len(made)):
        for earlier in range(later):
            apart = max(float(np.abs(values[later] - values[earlier]).max()) for values in (at, sizes))
            if apart < SAME and made[later].told not in shown:
                shown.add(made[later].told)
                detail = f"The {made[later].strand.name} lies where the {made[earlier].strand.name} lies."
                yield Fault(f"/strands/{made[later].told}", "in-the-same-place", detail)


def _beside(told: Sequence[Told], made: Sequence[Copy]) -> Iterator[Fault]:
    """Strands without a parent are one trunk together: those beside the first lie straight and level with it."""
    free = [copy for copy in made if "parent" not in told[copy.told]]
    if len(free) == 1:
        return
    for number in dict.fromkeys(copy.told for copy in free if not _level(copy.strand)):
        name = told[number]["name"]
        detail = (
            f"{name!r} and the other strands without a parent make one trunk, so that each lies straight and level, at "
            "the height of the nose, its back up. Let it grow out of another one, or lay it so."
        )
        yield Fault(f"/strands/{number}/path", "trunk-not-level", detail)


def _level(strand: Strand) -> bool:
    points, left, back = strand.path.frames(np.array([0.0, strand.path.length]))
    ahead = cross(left, back)
    lies = bool((np.abs(points[:, 2]) < 1e-9).all()) and float(back[0, 2]) > 1 - 1e-9
    return strand.path.straight and lies and float(ahead[0, 0]) > 0.5
