"""Faults of hollows along a strand that leave too little of it: floors, walls and tentacles that would not fill."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import numpy as np

from worker.errors import Fault
from worker.open_form.hollows.along import THINNEST_INSIDE, girths_at, stretch_of
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.values.told_bounds import at_most

Told = Mapping[str, Any]
Sizes = tuple[Array, Array, Array]

LEAST_LEFT = 0.8
"""Least thickness, mm, that a hollow leaves: thinner seldom fills (judgement; holds across all styles)."""
DEEPEST_SLOT = 0.75
"""Greatest depth and width of a slot over the strand's there (judgement)."""
LOOKS = 65


def rooms(told: Told, strand: Strand, at: str) -> Iterator[Fault]:
    """Every such fault of one hollow; `at` is the pointer to it."""
    _, _, stretch = stretch_of(told, strand)
    low, high = float(stretch[0]), float(stretch[-1])
    gaps = strand.body.thinnest
    station = np.union1d(low + (high - low) * np.arange(LOOKS) / (LOOKS - 1), gaps[(gaps > low) & (gaps < high)])
    girths, sizes = girths_at(strand, station), strand.body.sizes(station)
    # The ends of the strand are not looked at: a hollow that goes through one opens there.
    ends = getattr(strand.relief, "ends", (0.0, 0.0))
    inner = (station >= ends[0]) & (station <= strand.path.length - ends[1])
    if bool(inner.any()):
        kept: list[Sizes] = [(a[inner], b[inner], c[inner]) for a, b, c in (girths, sizes)]
        yield from _ROOMS[told["kind"]](told, kept[0], kept[1], at)


def _slot(told: Told, girths: Sizes, sizes: Sizes, at: str) -> Iterator[Fault]:
    """Its floor lies so deep below the girth; relief may have cut into what is left beneath and beside it."""
    half, back, belly = girths
    top, bottom = (back, sizes[2]) if told["side"] == "back" else (belly, sizes[1])
    most = min(DEEPEST_SLOT * float((back + belly).min()), float((top + bottom).min()) - LEAST_LEFT)
    if told["depth"] > most + 1e-9:
        detail = f"A slot {told['depth']:g} mm deep leaves next to no floor there; {max(most, 0):.3g} mm do."
        yield Fault(f"{at}/depth", "slot-too-deep", detail, _most(most, 0.5))
    widest = DEEPEST_SLOT * 2 * float(np.minimum(half, sizes[0]).min())
    if told["width"] > widest + 1e-9:
        detail = f"A slot {told['width']:g} mm wide leaves next to no sides there; {widest:.3g} mm do."
        yield Fault(f"{at}/width", "slot-too-wide", detail, _most(widest, 0.8))


def _inside(told: Told, girths: Sizes, sizes: Sizes, at: str) -> Iterator[Fault]:
    most = min(float(girth.min()) for girth in girths) - THINNEST_INSIDE
    if told["wall"] > most + 1e-9:
        detail = f"A wall of {told['wall']:g} mm leaves nothing inside; {max(most, 0):.3g} mm do."
        yield Fault(f"{at}/wall", "no-inside", detail, _most(most, LEAST_LEFT))
        return
    cut = max(float((girth - size).max()) for girth, size in zip(girths, sizes, strict=True))
    if told["wall"] - cut < LEAST_LEFT - 1e-6:
        least = math.ceil(1e4 * (cut + LEAST_LEFT) - 1e-6) / 1e4
        detail = f"The relief cuts {cut:.3g} mm into a wall of {told['wall']:g} mm; {least:.3g} mm leave enough of it."
        allowed = {"minimum": least, "maximum": at_most(most), "unit": "mm"} if least <= most else None
        yield Fault(f"{at}/wall", "wall-cut-through", detail, allowed)


def _cut(told: Told, girths: Sizes, sizes: Sizes, at: str) -> Iterator[Fault]:
    """Between two cuts there is an arc of the thinnest section's inscribed circle less one cut."""
    radius = float(np.minimum(sizes[0], np.minimum(sizes[1], sizes[2])).min())
    widest = 2 * radius * math.sin(math.pi / max(told["count"], 2)) - LEAST_LEFT
    if told["width"] > widest + 1e-9:
        detail = (
            f"{told['count']} cuts {told['width']:g} mm wide leave less than {LEAST_LEFT:g} mm between them; "
            f"{max(widest, 0):.3g} mm do not."
        )
        yield Fault(f"{at}/width", "cuts-too-wide", detail, _most(widest, 0.2))


def _most(most: float, least: float) -> dict[str, object] | None:
    """What would do, where anything would."""
    return {"minimum": least, "maximum": math.floor(1e4 * most + 1e-6) / 1e4, "unit": "mm"} if most >= least else None


_ROOMS: Mapping[str, Callable[[Told, Sizes, Sizes, str], Iterator[Fault]]] = {
    "slot": _slot,
    "inside": _inside,
    "cut": _cut,
}
