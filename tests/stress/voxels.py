"""Which cells of a grid lie inside a closed mesh: by parity along the grid's columns, apart from the product's own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

ASIDE = (1.1e-4, 1.7e-4, 2.3e-4)
"""The grid stands this much aside, mm, so that no column runs along an edge of a symmetric mesh."""


@dataclass(frozen=True)
class Cells:
    """Cubes of `size` mm; `inside` (x, y, z) tells which are in the solid, `begin` where the grid's corner lies, mm."""

    size: float
    begin: NDArray[np.float64]
    inside: NDArray[np.bool_]

    @property
    def index(self) -> NDArray[np.int64]:
        """(n, 3) of the cells that are in the solid."""
        return np.argwhere(self.inside)

    @property
    def middle(self) -> NDArray[np.float64]:
        """(n, 3) mm of the cells that are in the solid."""
        return self.begin + (self.index + 0.5) * self.size


def cells_of(vertices: NDArray[np.float64], triangles: NDArray[np.int64], size: float) -> Cells:
    """The cells whose middle lies inside a closed mesh; of several pieces the largest."""
    begin = vertices.min(axis=0) - 1.5 * size + np.array(ASIDE)
    count = np.ceil((vertices.max(axis=0) + 1.5 * size - begin) / size).astype(int)
    corners = vertices[triangles]
    flat = (corners[:, :, :2] - begin[:2]) / size - 0.5  # the middles of columns are whole numbers
    first, last = np.ceil(flat.min(axis=1)).astype(int), np.floor(flat.max(axis=1)).astype(int)
    wide = np.maximum(last - first + 1, 0)
    columns = wide[:, 0] * wide[:, 1]
    owner = np.repeat(np.arange(len(corners)), columns)
    within = np.arange(columns.sum()) - np.repeat(np.cumsum(columns) - columns, columns)
    x = first[owner, 0] + within // wide[owner, 1]
    y = first[owner, 1] + within % wide[owner, 1]
    a, b, c = flat[owner, 0], flat[owner, 1], flat[owner, 2]
    whole = _turn(b - a, c - a)
    there = whole != 0
    share = np.where(there, whole, 1)
    point = np.stack([x, y], axis=1)
    second, third = _turn(point - a, c - a) / share, _turn(b - a, point - a) / share
    crossed = there & (second >= 0) & (third >= 0) & (second + third <= 1)
    owner, x, y, second, third = (part[crossed] for part in (owner, x, y, second, third))
    height = corners[owner, :, 2]
    z = height[:, 0] * (1 - second - third) + height[:, 1] * second + height[:, 2] * third
    above = np.clip(np.ceil((z - begin[2]) / size - 0.5).astype(int), 0, count[2])
    crossings = np.zeros((count[0], count[1], count[2] + 1), dtype=int)
    np.add.at(crossings, (x, y, above), 1)
    inside = np.cumsum(crossings, axis=2)[:, :, :-1] % 2 == 1
    piece, pieces = ndimage.label(inside)
    if pieces > 1:
        inside = piece == 1 + np.bincount(piece[inside] - 1).argmax()
    return Cells(size, begin, inside)


def _turn(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    return one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
