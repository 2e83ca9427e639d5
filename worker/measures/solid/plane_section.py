"""Sections of a closed surface by a plane: the area of the regions that hold given places, exact for the triangles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.measures.solid.grid import Flags, Whole
from worker.measures.solid.vectors3 import along
from worker.strands.roots import Array


@dataclass(frozen=True)
class Surface:
    """A closed surface: vertices (n, 3) mm, and outward triangles (m, 3)."""

    vertices: Array
    triangles: Whole

    def near(self, point: Array, radius: float) -> Surface:
        """The triangles whose boxes come within `radius` mm of a point each way; open where others are left out."""
        close = np.ones(len(self.triangles), dtype=bool)
        for axis in range(3):
            corners = self.vertices[:, axis][self.triangles]
            close &= (corners.min(axis=1) <= point[axis] + radius) & (corners.max(axis=1) >= point[axis] - radius)
        kept = self.triangles[close]
        used, triangles = np.unique(kept, return_inverse=True)
        return Surface(self.vertices[used], triangles.reshape(-1, 3))


@dataclass(frozen=True)
class Section:
    """Area, mm2, and rim, mm, of the regions; `held`: how many of the places lie in one.

    Infinite where a region runs out of what is there of the surface.
    """

    area: float
    rim: float
    held: int


def beside_normal(normal: Array) -> tuple[Array, Array]:
    """Two unit vectors square to a unit `normal` and to each other, turning left around it."""
    least = int(np.abs(normal).argmin())
    out = -normal * normal[least]
    out[least] += 1.0
    one = out / np.sqrt(float((out * out).sum()))
    return one, np.cross(normal, one)


def section(surface: Surface, point: Array, normal: Array, places: Array) -> Section:
    """The regions of the section through `point` square to `normal` that hold any of `places` (k, 3), less their holes.

    Places are moved onto the plane along its normal.
    """
    high = along(surface.vertices, normal) - float(along(point[None], normal)[0])
    above = (high > 0)[surface.triangles]
    count = above.sum(axis=1)
    crossed = np.flatnonzero((count > 0) & (count < 3))
    if len(crossed) == 0:
        return Section(0.0, 0.0, 0)
    triangles, above = surface.triangles[crossed], above[crossed]
    row = np.arange(len(crossed))
    # Of an outward triangle the section's rim, solid to its left, runs from the edge that comes down to that which
    # goes up again.
    down = (above & ~np.roll(above, -1, axis=1)).argmax(axis=1)
    up = (~above & np.roll(above, -1, axis=1)).argmax(axis=1)
    one, two = beside_normal(normal)
    begins = _crossing(surface.vertices, high, triangles[row, down], triangles[row, (down + 1) % 3], point, one, two)
    ends = _crossing(surface.vertices, high, triangles[row, up], triangles[row, (up + 1) % 3], point, one, two)
    loops, number, closed = _loops(triangles, row, down, up, len(surface.vertices))
    signed = np.bincount(loops, (begins[0] * ends[1] - begins[1] * ends[0]) / 2, number)
    length = np.sqrt((ends[0] - begins[0]) ** 2 + (ends[1] - begins[1]) ** 2)
    rim = np.bincount(loops, length, number)
    away = places - point
    winds = _winding(begins, ends, loops, number, along(away, one), along(away, two))
    if bool(((winds != 0).any(axis=1) & ~closed).any()):
        return Section(np.inf, np.inf, len(places))
    held = winds.sum(axis=0) > 0
    if not held.any():
        return Section(0.0, 0.0, 0)
    # A place, and a hole, belongs to the smallest outer loop around it.
    outer_area = np.where(closed & (signed > 0), signed, np.inf)[:, None]
    outer = np.unique(np.where(winds[:, held] > 0, outer_area, np.inf).argmin(axis=0))
    holes = np.flatnonzero(signed < 0)
    first = np.full(number, len(loops), dtype=np.int64)
    np.minimum.at(first, loops, row)
    at = first[holes]
    around = _winding(begins, ends, loops, number, begins[0][at], begins[1][at]) > 0
    size = np.where(around, outer_area, np.inf)
    owner = np.where(np.isfinite(size).any(axis=0), size.argmin(axis=0), -1)
    inside = np.concatenate([outer, holes[np.isin(owner, outer)]])
    return Section(float(signed[inside].sum()), float(rim[inside].sum()), int(held.sum()))


def _crossing(
    vertices: Array, high: Array, begin: Whole, end: Whole, point: Array, one: Array, two: Array
) -> tuple[Array, Array]:
    # From the lower corner's number to the higher one's, so that both triangles of an edge find the same point.
    low, top = np.minimum(begin, end), np.maximum(begin, end)
    share = (high[low] / (high[low] - high[top]))[:, None]
    away = vertices[low] + share * (vertices[top] - vertices[low]) - point
    return along(away, one), along(away, two)


def _loops(triangles: Whole, row: Whole, down: Whole, up: Whole, vertices: int) -> tuple[Whole, int, Flags]:
    """Which line each crossed triangle's piece of the rim belongs to, how many lines there are, and which close.

    Each piece ends on the edge on which the next one begins. Looking twice as far ahead each time, every piece of a
    closed line learns the least number in it; a line that is open may be several.
    """
    begin, end = (_edges(triangles, row, corner, vertices) for corner in (down, up))
    order = np.argsort(begin, kind="stable")
    after = np.minimum(np.searchsorted(begin[order], end), len(row) - 1)
    leads_on = begin[order[after]] == end
    ahead = np.where(leads_on, order[after], row)
    least, ends = row.copy(), ~leads_on
    for _ in range(len(row).bit_length()):
        least, ends = np.minimum(least, least[ahead]), ends | ends[ahead]
        ahead = ahead[ahead]
    first, loops = np.unique(least, return_inverse=True)
    return loops.astype(np.int64), len(first), ~ends[first]


def _edges(triangles: Whole, row: Whole, corner: Whole, vertices: int) -> Whole:
    """One number for the edge from a corner of each triangle, the same from both sides."""
    one, two = triangles[row, corner], triangles[row, (corner + 1) % 3]
    return np.minimum(one, two) * vertices + np.maximum(one, two)


def _winding(
    begins: tuple[Array, Array], ends: tuple[Array, Array], loops: Whole, number: int, x: Array, y: Array
) -> Whole:
    """How often each loop winds around each place: (loops, places)."""
    (x1, y1), (x2, y2) = begins, ends
    rises = (y1[:, None] <= y) & (y2[:, None] > y)
    falls = (y1[:, None] > y) & (y2[:, None] <= y)
    left = (x2 - x1)[:, None] * (y - y1[:, None]) - (x - x1[:, None]) * (y2 - y1)[:, None]
    turn = (rises & (left > 0)).astype(np.int64) - (falls & (left < 0))
    winds: Whole = np.zeros((number, len(x)), dtype=np.int64)
    np.add.at(winds, loops, turn)
    return winds
