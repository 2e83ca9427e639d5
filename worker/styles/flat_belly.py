"""What a level belly cuts away of the limbs that grow out of a trunk: their roots must not stand out below it."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from worker.errors import Fault
from worker.strands.strand import Strand
from worker.styles.style import Params

LOOKS = 9
"""Stations at which a limb is looked at on its way out of the trunk: its size changes little there."""
STEP = 0.01
"""Of the parameter that says how much of the belly is cut."""


def belly_faults(trunk: Strand, others: tuple[Strand, ...], params: Params) -> Iterator[Fault]:
    """A fault where a root reaches below the level that `dressed` has cut the trunk at, with the most that can be cut.

    A limb may hang below the belly further out; where it leaves the trunk it would stand on it like a foot, or bridge
    a slot.
    """
    floor = trunk.section.floor
    lowest = max((_below(limb) for limb in others if limb.root and limb.root.parent == trunk.name), default=0.0)
    if floor is None or lowest <= floor + 1e-6:
        return
    stations = trunk.girth.stations
    deepest, height = max(each.belly for each in stations), max(each.back + each.belly for each in stations)
    most = math.floor((deepest - lowest) / height / STEP + 1e-9) * STEP
    detail = (
        f"A belly cut level {floor:.3g} mm below the middle is cut above what grows out of it, which reaches "
        f"{lowest:.3g} mm down at its root; {f'{most:.2f} of the height does' if most > 0 else 'leave it round'}."
    )
    yield Fault("/params/flat_belly", "belly-too-flat", detail, {"minimum": 0.0, "maximum": max(round(most, 2), 0.0)})


def _below(limb: Strand) -> float:
    """How far below the trunk's path a limb reaches up to where it leaves the trunk, mm; that path lies on z = 0."""
    assert limb.root is not None
    at = np.linspace(0.0, limb.root.leaves, LOOKS)
    point, left, back = limb.path.frames(at)
    width, upward, downward = limb.body.sizes(at)
    tilt = back[:, 2]
    down = width * np.abs(left[:, 2]) + np.where(tilt >= 0, downward, upward) * np.abs(tilt)
    return float((down - point[:, 2]).max())
