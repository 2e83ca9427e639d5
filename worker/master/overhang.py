"""How much of a master's surface needs support, for each way up, and the way up that needs the least."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from worker.master.printing import lies_on
from worker.strands.roots import Array
from worker.strands.vectors import cross

NAMED: dict[tuple[int, ...], str] = {
    (0, 0, 1): "back up",
    (0, 0, -1): "belly up",
    (-1, 0, 0): "nose up",
    (1, 0, 0): "tail up",
    (0, 1, 0): "on its right side",
    (0, -1, 0): "on its left side",
}
WAYS = (*NAMED, *(way for way in product((-1, 0, 1), repeat=3) if any(way) and way not in NAMED))
"""Twenty-six ways up: six along the axes, the rest half-way between two or three of them."""
SLENDER = 10.0
"""Height over the lesser side on the bed beyond which a print sways on its bed: not called the best (judgement)."""
ON_BED = 0.5
"""Layers above the lowest point within which a face lies on the bed and hangs over nothing."""


@dataclass(frozen=True, slots=True)
class Orientation:
    """One way up: a unit vector of the master, its overhanging share, mm high, and how it lies on the bed."""

    name: str
    up: tuple[float, float, float]
    overhang: float
    height: float
    footprint: tuple[float, float]
    fits: bool


def orientations(vertices: Array, triangles: NDArray[np.int64], asked: Mapping[str, Any]) -> list[Orientation]:
    """Every way up, in the order of `WAYS`, of vertices (n, 3) mm and outward triangles (m, 3); `asked` is `print`.

    A face hangs over where it leans further from upright than `overhang_deg`: its normal points down by more than that
    angle's sine. Of a sphere that is (1 - sin) / 2.
    """
    corners = vertices[triangles]
    normal = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    twice = np.sqrt(normal[:, 0] ** 2 + normal[:, 1] ** 2 + normal[:, 2] ** 2)
    normal = normal / np.maximum(twice, 1e-12)[:, None]
    steep = math.sin(math.radians(asked["overhang_deg"])) + 1e-9
    return [_one(way, vertices, triangles, normal, twice, steep, asked) for way in WAYS]


def _one(
    way: tuple[int, ...],
    vertices: Array,
    triangles: NDArray[np.int64],
    normal: Array,
    twice: Array,
    steep: float,
    asked: Mapping[str, Any],
) -> Orientation:
    size = math.sqrt(sum(part * part for part in way))
    up = (way[0] / size, way[1] / size, way[2] / size)
    level = _along(vertices, up)
    low, high = float(level.min()), float(level.max())
    hanging = _along(normal, up) < -steep
    rests = (level <= low + ON_BED * asked["layer"])[triangles].all(axis=1)
    share = float(twice[hanging & ~rests].sum()) / float(twice.sum())
    length, width = _footprint(vertices, up)
    fits = high - low <= asked["bed"]["height"] and lies_on(asked["bed"], length, width)
    return Orientation(_name(way), up, share, high - low, (length, width), fits)


def best(every: list[Orientation]) -> Orientation:
    """The way up with the least overhang of those that fit and stand, of equal ones the lowest; of none, of all."""
    fitting = [each for each in every if each.fits] or every
    among = [each for each in fitting if each.height <= SLENDER * min(each.footprint)] or fitting
    return min(among, key=lambda each: (round(each.overhang, 4), round(each.height, 3)))


def _along(points: Array, way: tuple[float, float, float]) -> Array:
    return np.asarray(points[..., 0] * way[0] + points[..., 1] * way[1] + points[..., 2] * way[2])


def _footprint(vertices: Array, up: tuple[float, float, float]) -> tuple[float, float]:
    """Sides of a rectangle around it as seen from above, one of them level along the bait where it can be."""
    x, y, z = up
    across = math.sqrt(y * y + z * z)
    if across < 1e-9:
        one, two = (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    else:
        # The bait's own length as it lies on the plane of the bed, and what is square to it there.
        one = (across, -x * y / across, -x * z / across)
        two = (0.0, -z / across, y / across)
    sides = [_along(vertices, way) for way in (one, two)]
    return float(sides[0].max() - sides[0].min()), float(sides[1].max() - sides[1].min())


def _name(way: tuple[int, ...]) -> str:
    if way in NAMED:
        return NAMED[way]
    x, y, z = way
    words = [("nose", "", "tail")[x + 1], ("right", "", "left")[y + 1], ("belly", "", "back")[z + 1]]
    return f"{' and '.join(each for each in words if each)} up"
