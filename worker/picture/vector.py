"""Arithmetic on rows of three numbers, and look-up tables in place of the transcendental functions.

A picture has to come out byte for byte the same on every processor. Sums, products, quotients and square
roots are exact by IEEE 754 and therefore safe; matrix products (BLAS) and vector exponentials are not, for
their last bit changes with the instructions that a processor offers. So dot products are written out, and
exponentials are read from tables that were filled one Python number at a time.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]
Integers = NDArray[np.int32]
Indices = NDArray[np.int64]
Flags = NDArray[np.bool_]

Real = TypeVar("Real", np.float32, np.float64)
Number = TypeVar("Number", bound=np.generic)

NONE, ALL = np.float32(0), np.float32(1)


def dot(first: NDArray[Real], second: NDArray[Real]) -> NDArray[Real]:
    """Scalar product of rows; either side may be a single row of three."""
    product: NDArray[Real] = (
        first[..., 0] * second[..., 0] + first[..., 1] * second[..., 1] + first[..., 2] * second[..., 2]
    )
    return product


def normalised(rows: NDArray[Real]) -> NDArray[Real]:
    """Rows brought to length one; a row of zeros stays one."""
    squared = dot(rows, rows) + np.asarray(1e-30, rows.dtype)
    length: NDArray[Real] = np.sqrt(squared)
    return rows / length[..., None]


def unit(direction: ArrayLike) -> Floats:
    """One direction of length one, computed in double precision."""
    row = np.asarray(direction, np.float64)
    length = math.sqrt(float(row[0]) ** 2 + float(row[1]) ** 2 + float(row[2]) ** 2)
    return (row / length).astype(np.float32)


def reflected(ray: Floats, normal: Floats, slope: Floats) -> Floats:
    """Rays mirrored at surfaces; `slope` is the cosine between a normal and the way back along its ray."""
    mirrored: Floats = ray + (slope + slope)[:, None] * normal
    return mirrored


def ramp(values: Floats, low: float, high: float) -> Floats:
    """Smooth step from 0 at `low` to 1 at `high` (cubic, level at both ends)."""
    part = np.clip((values - np.float32(low)) * np.float32(1 / (high - low)), NONE, ALL)
    step: Floats = part * part * (np.float32(3) - part - part)
    return step


class Table:
    """A function of one number between 0 and `end`, read at the nearest of `count` places.

    Arguments outside are taken as the nearer end. With thousands of places the step from one entry to the
    next is far below the 1/255 that a picture can show.
    """

    def __init__(self, function: Callable[[float], float], end: float, count: int) -> None:
        self._scale = np.float32((count - 1) / end)
        self._last = np.float32(count - 1)
        self._values = np.array([function(i * end / (count - 1)) for i in range(count)], np.float32)

    def __call__(self, values: Floats) -> Floats:
        places = np.clip(values * self._scale + np.float32(0.5), NONE, self._last)
        read: Floats = self._values.take(places.astype(np.int32))
        return read


FADE = Table(lambda x: math.exp(-x), 16.0, 16384)
"""exp(-x) for x from 0 to 16."""


def columns(rows: NDArray[Number]) -> list[NDArray[Number]]:
    """The columns of an array, each contiguous, so that gathering from them is quick."""
    return [np.ascontiguousarray(rows[:, i]) for i in range(rows.shape[1])]


def gathered(values: Sequence[NDArray[Any]], places: NDArray[Any]) -> list[NDArray[Any]]:
    """Each of several columns taken at the same places."""
    return [column.take(places) for column in values]


def turned_rows(rows: NDArray[Real], angle: float, upright: bool) -> NDArray[Real]:
    """Rows of x, y, z turned by `angle` radians about z (`upright`) or about x."""
    sine, cosine = (np.asarray(value, rows.dtype) for value in (math.sin(angle), math.cos(angle)))
    first, second = (0, 1) if upright else (1, 2)
    other = rows.copy()
    other[:, first] = rows[:, first] * cosine - rows[:, second] * sine
    other[:, second] = rows[:, first] * sine + rows[:, second] * cosine
    return other
