"""Is the bait open only where something is taken out of it?

Strands that meet again beyond their roots make a ring: no arithmetic of theirs tells of it, the joined solid does. So
an estimate leaves this out, and what a change does to it is seen by joining the changed strands.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from worker.checks.answer import Answer, Remedy
from worker.checks.subject import Subject
from worker.errors import BuildFailed
from worker.strands.strand import Strand, root_of
from worker.values.dial import Dial

MOST_TRIES, OF_A_DIAL = 12, 4
"""Shapes that are joined for remedies, and of one dial: a bait with twenty limbs takes half a second each."""
FIRST_SHARE = 0.1
"""Of a dial's steps where it is tried first; the way then doubles."""
MOST_LIMBS = 40
"""Of more limbs it is not told which of them close a ring: each is left out once, and the rest joined."""
STATIONS = 64
"""Places along a limb at which it is looked at how near it comes to other strands."""

Holes = Callable[[Sequence[Strand]], int]
"""Through holes of the solid that strands make together, nothing taken out. Raises BuildFailed."""
OfOthers = Callable[[Subject], tuple[int, int]]
"""Through holes of another bait's solid, and of its strands alone. Raises BuildFailed."""


@dataclass(frozen=True)
class _Ring:
    """Where a limb comes nearest to a strand that it does not grow out of there."""

    limb: Strand
    other: str
    station: float
    centre: tuple[float, float, float]


def through_hole(subject: Subject, found: int, own: int, holes: Holes, of_others: OfOthers) -> Answer:
    """The solid's `found` through holes against those that its hollows explain.

    `own` of them its strands have by themselves, nothing taken out. A caution: such a bait is poured and fishes, but
    two limbs that are one can neither move nor be parted without a knife, and a mould's halves meet in the hole.
    """
    rings = min(found, own)
    explained = found - rings
    values = (float(found), float(explained), "holes")
    if rings == 0:
        text = "Nothing goes through the bait" + (" but what is taken out of it." if found else ".")
        return Answer("through_hole", "pass", *values, text)
    place = _ring(subject, own, holes)
    many = "A hole goes" if rings == 1 else f"{rings} holes go"
    text = f"{many} through the bait that nothing taken out of it explains: "
    where = None
    if place is None:
        text += "its strands meet again and close a ring."
    else:
        limb, other = place.limb.name, place.other
        text += f"the {limb} meets the {other} again, about {place.station:.3g} mm from its root, and closes a ring."
        where = {
            "strand": limb,
            "station_mm": round(place.station, 3),
            "centre_mm": [round(each, 3) for each in place.centre],
        }
    mended = tuple(_remedies(subject, place, of_others)) if subject.mends and place is not None else ()
    return Answer("through_hole", "caution", *values, text, where, mended)


def _ring(subject: Subject, own: int, holes: Holes) -> _Ring | None:
    """The first limb without which the strands have fewer holes; None where no single one is to blame."""
    if len(subject.limbs) > MOST_LIMBS:
        return None
    for limb in subject.limbs:
        names = _with_what_grows_on(limb, subject.limbs)
        rest = [strand for strand in subject.strands if strand.name not in names]
        try:
            fewer = holes(rest) < own
        except BuildFailed:
            continue
        if fewer:
            return _nearest(limb, [strand for strand in subject.strands if strand.name not in names])
    return None


def _with_what_grows_on(limb: Strand, limbs: Sequence[Strand]) -> set[str]:
    names = {limb.name}
    for each in limbs:  # parents come before what grows on them
        if root_of(each).parent in names:
            names.add(each.name)
    return names


def _nearest(limb: Strand, others: Sequence[Strand]) -> _Ring:
    """Where the gap between a limb's axis and another strand's, less the sections of both, is least.

    Of the strand that it grows out of, what lies beyond the root's flare and the limb's own width behind that.
    """
    root = root_of(limb)
    station = np.linspace(root.leaves, limb.path.length, STATIONS)
    points, sizes = limb.path.frames(station)[0], np.maximum(*limb.body.half_sizes(station))
    clear = root.leaves + root.blend + 2 * float(sizes.max())
    best: tuple[float, str, int] = (math.inf, others[0].name, STATIONS - 1)
    for other in others:
        at = other.path.nearest(points)
        away = np.sqrt(((points - other.path.frames(at)[0]) ** 2).sum(axis=1))
        gap = away - sizes - np.maximum(*other.body.half_sizes(at))
        if other.name == root.parent:
            gap = np.where(station < clear, np.inf, gap)
        least = int(gap.argmin())
        if float(gap[least]) < best[0] - 1e-9:
            best = (float(gap[least]), other.name, least)
    _, name, place = best
    x, y, z = (float(each) for each in points[place])
    return _Ring(limb, name, float(station[place]), (x, y, z))


def _remedies(subject: Subject, ring: _Ring, of_others: OfOthers) -> Iterator[Remedy]:
    """One change of each dial of the strands that close the ring, joined again; `MOST_TRIES` in all."""
    bait, left = subject.request.bait, MOST_TRIES
    by_name, by_kind = (f"through_hole of {each}" for each in (ring.limb.name, ring.limb.kind))
    for dial in tuple(bait.dials(by_name)) or tuple(bait.dials(by_kind)):
        steps = max(1, round(FIRST_SHARE * dial.most))
        for _ in range(OF_A_DIAL):
            if left == 0 or dial.most < 1:
                return
            steps = min(steps, dial.most)
            left -= 1
            again = _again(subject, dial, steps, of_others)
            if again is not None and min(again) == 0:
                yield Remedy(f"{dial.words(steps)}: joined again, no ring is left", dial.patch(steps), float(again[0]))
                break
            if again is None or steps == dial.most:
                break
            steps *= 2


def _again(subject: Subject, dial: Dial, steps: int, of_others: OfOthers) -> tuple[int, int] | None:
    """See OfOthers, after so many steps of a dial; None where that cannot be built, or falls apart."""
    other = subject.with_patch(dial.patch(steps))
    if other is None or other.pieces > 1:
        return None
    try:
        return of_others(other)
    except BuildFailed:
        return None
