"""The parting face as a drawing board: what is taken, and how far any place of it is from that."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from scipy.ndimage import distance_transform_edt

from worker.mould.slices import Whole
from worker.strands.roots import Array

CELL = 0.5
"""Squares of the board, mm."""
Place = tuple[float, float]


class Board:
    """A board from (`x0`, `y0`) to (`x1`, `y1`), mm; nothing on it is taken at first."""

    def __init__(self, x0: float, y0: float, x1: float, y1: float) -> None:
        self.low, self.high = (x0, y0), (x1, y1)
        self.shape = (int(np.ceil((x1 - x0) / CELL)) + 1, int(np.ceil((y1 - y0) / CELL)) + 1)
        self.taken = np.zeros(self.shape, dtype=bool)
        self._apart: Array | None = None

    def take_points(self, points: Array) -> None:
        """Takes the squares around points, (n, 2)."""
        self._apart = None
        i, j = self._squares(points)
        self.taken[i, j] = True

    def take_disc(self, centre: Place, radius: float) -> None:
        """Takes a disc."""
        self._apart = None
        x, y = self._lines()
        self.taken |= (x[:, None] - centre[0]) ** 2 + (y[None, :] - centre[1]) ** 2 <= radius * radius

    def take_way(self, begin: Place, end: Place, half: float) -> None:
        """Takes a straight way, `half` mm to each side and beyond its ends."""
        self._apart = None
        x, y = self._lines()
        run_x, run_y = end[0] - begin[0], end[1] - begin[1]
        square = run_x * run_x + run_y * run_y
        dx, dy = x[:, None] - begin[0], y[None, :] - begin[1]
        share = np.clip((dx * run_x + dy * run_y) / (square or 1.0), 0.0, 1.0)
        self.taken |= (dx - share * run_x) ** 2 + (dy - share * run_y) ** 2 <= half * half

    def apart(self, points: Array) -> Array:
        """How far each of the points, (n, 2), is from what is taken, mm; to the board's fineness."""
        if self._apart is None:
            self._apart = np.asarray(distance_transform_edt(~self.taken)) * CELL
        i, j = self._squares(points)
        return np.asarray(self._apart[i, j])

    def inside(self, points: Array) -> Array:
        """Whether each of the points, (n, 2), is on the board."""
        return np.asarray(
            (points[:, 0] >= self.low[0])
            & (points[:, 0] <= self.high[0])
            & (points[:, 1] >= self.low[1])
            & (points[:, 1] <= self.high[1])
        )

    def nearest_room(self, to: Place, half_diagonal: float, border: float) -> Place | None:
        """The place nearest to another where a disc has room, `border` mm off the edges; None where there is none."""
        x, y = self._lines()
        points = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
        keep = half_diagonal + border
        free = (
            (self.apart(points) >= half_diagonal + CELL)
            & (points[:, 0] >= self.low[0] + keep)
            & (points[:, 0] <= self.high[0] - keep)
            & (points[:, 1] >= self.low[1] + keep)
            & (points[:, 1] <= self.high[1] - keep)
        )
        if not free.any():
            return None
        room = points[free]
        nearest = room[int(np.argmin((room[:, 0] - to[0]) ** 2 + (room[:, 1] - to[1]) ** 2))]
        return float(nearest[0]), float(nearest[1])

    def _lines(self) -> tuple[Array, Array]:
        return tuple(low + CELL * np.arange(size) for low, size in zip(self.low, self.shape, strict=True))  # type: ignore[return-value]

    def _squares(self, points: Array) -> tuple[Whole, Whole]:
        """Numbers of the squares, those beyond the edges as the edges'."""
        scaled: Iterable[Array] = (np.rint((points[:, axis] - self.low[axis]) / CELL) for axis in (0, 1))
        i, j = (np.clip(each, 0, size - 1).astype(np.int64) for each, size in zip(scaled, self.shape, strict=True))
        return i, j
