"""How far the silhouettes of two baits lie apart, and where the most."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from worker.drawing.model import Shape
from worker.drawing.planes import VIEWS, View
from worker.drawing.rims import widest_section
from worker.drawing.silhouette import Outlined
from worker.strands.roots import Array

FINEST = 0.02
"""Sag, mm, of the outlines that are compared, and the least distance that counts as a change."""
_COARSEST = 250
"""Points of an outline that are compared at the most."""


@dataclass(frozen=True)
class Change:
    """The place, mm in the view's plane, at which the silhouettes lie furthest apart, `distance` mm.

    Without a view it is the section of the strand `name` that changes most.
    """

    distance: float
    view: View | None
    place: tuple[float, float]
    name: str = ""


def greatest_change(one: Shape, other: Shape) -> Change | None:
    """Where `other` differs most from `one`; None where they look the same."""
    if one == other:
        return None
    found: Change | None = None
    for view in VIEWS:
        before, after = (_by_name(shape, view) for shape in (one, other))
        for name in before.keys() | after.keys():
            change = _of_strand(before.get(name), after.get(name), view)
            if change.distance > (FINEST if found is None else found.distance + 1e-6):
                found = change
    for change in _of_sections(one, other):
        if change.distance > (FINEST if found is None else found.distance + 1e-6):
            found = change
    return found


def _of_sections(one: Shape, other: Shape) -> Iterator[Change]:
    """What changes inside of the outlines: squarer sections, thicker edges."""
    there = {strand.name: strand for strand in other.strands}
    for strand in one.strands:
        twin = there.get(strand.name)
        if twin is not None and replace(strand.section, floor=None) != replace(twin.section, floor=None):
            before, after = widest_section(strand), widest_section(twin)
            yield Change(float(_distances(before, (after,)).max()), None, (0.0, 0.0), strand.name)


def _by_name(shape: Shape, view: View) -> dict[str, Outlined]:
    seen = [*shape.seen(view, FINEST), *shape.seen_hollows(view, FINEST)]
    # What stands on the right is what stands on the left, handed.
    return {each.name: each for each in seen if not each.name.startswith("right")}


def _of_strand(before: Outlined | None, after: Outlined | None, view: View) -> Change:
    if before is None or after is None:
        present = before or after
        assert present is not None
        left, right, top, bottom = present.box
        place = ((left + right) / 2, (top + bottom) / 2)
        return Change(max(right - left, bottom - top) / 2, view, place)
    changes = []
    for here, there in ((before, after), (after, before)):
        points = _points(here)
        apart = _distances(points, there.loops)
        most = int(apart.argmax())
        changes.append(Change(float(apart[most]), view, (float(points[most, 0]), float(points[most, 1]))))
    return max(changes, key=lambda change: change.distance)


def _points(each: Outlined) -> Array:
    points = np.concatenate(each.loops)
    return points[:: max(1, len(points) // _COARSEST)]


def _distances(points: Array, loops: tuple[Array, ...]) -> Array:
    """From each point to the nearest edge of any loop."""
    begin = np.concatenate(loops)
    way = np.concatenate([np.roll(loop, -1, axis=0) - loop for loop in loops])
    squares = np.maximum(way[:, 0] * way[:, 0] + way[:, 1] * way[:, 1], 1e-18)
    nearest = np.empty(len(points))
    for first in range(0, len(points), 64):
        part = points[first : first + 64]
        off_x, off_y = part[:, :1] - begin[:, 0], part[:, 1:] - begin[:, 1]
        share = np.clip((off_x * way[:, 0] + off_y * way[:, 1]) / squares, 0.0, 1.0)
        off_x -= share * way[:, 0]
        off_y -= share * way[:, 1]
        nearest[first : first + 64] = np.sqrt((off_x * off_x + off_y * off_y).min(axis=1))
    return nearest
