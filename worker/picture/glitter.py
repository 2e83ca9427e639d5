"""Glitter: flat hexagons stirred through the plastic, as many as its volume holds, always in the same places."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.finish import Glitter
from worker.picture.raster import crossings
from worker.picture.surface import FINENESS, Samples
from worker.picture.vector import Doubles, Floats, Indices, columns, dot, normalised, turned_rows

_SEED = 20210
_CELLS = 12_000
"""Cells of the grid under the body's outline in which the flakes are laid."""

_FAN = np.array([[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5]])


@dataclass(frozen=True)
class Flakes:
    """Hexagons in mm from the body's middle: `centre` and unit `normal` of each, and the `corner` points of each."""

    centre: Floats
    normal: Floats
    corner: Floats
    glitter: Glitter


@dataclass(frozen=True)
class Seen:
    """Which flake stands under each sample (-1: none), and how deep under the surface in mm."""

    flake: Indices
    below: Floats


def flake_count(body: Body, glitter: Glitter) -> int:
    """Flakes in the whole body."""
    return round(glitter.per_cm3 * body.volume_mm3 / 1000)


def stir(body: Body, glitter: Glitter) -> Flakes:
    """Flakes spread evenly through the body's volume, turned every way, from a fixed seed."""
    count = flake_count(body, glitter)
    random = np.random.Generator(np.random.PCG64(_SEED))
    centre = _inside(body, random.random((count, 3)))
    normal = normalised(_any_direction(random, count))
    helper = np.where(np.abs(normal[:, :1]) < 0.7, [[1.0, 0.0, 0.0]], [[0.0, 1.0, 0.0]])
    first = normalised(np.cross(normal, helper))
    second = np.cross(normal, first)
    radius = glitter.size_mm / math.sqrt(3)
    corner = np.empty((count, 6, 3))
    for i in range(6):
        turn = i * math.pi / 3
        corner[:, i] = centre + radius * (math.cos(turn) * first + math.sin(turn) * second)
    return Flakes(centre.astype(np.float32), normal.astype(np.float32), corner.astype(np.float32), glitter)


def turned_flakes(flakes: Flakes, angle: float, upright: bool) -> Flakes:
    """The flakes of a body that is turned; see `Body.turned`."""
    centre, normal = (turned_rows(rows, angle, upright) for rows in (flakes.centre, flakes.normal))
    corner = turned_rows(flakes.corner.reshape(-1, 3), angle, upright).reshape(-1, 6, 3)
    return Flakes(centre, normal, corner, flakes.glitter)


def see(flakes: Flakes, camera: Camera, samples: Samples, reach_mm: float) -> Seen:
    """The uppermost flake under each sample, down to a depth of `reach_mm` times three."""
    width, height = camera.columns * FINENESS, camera.rows * FINENESS
    surface = np.full(width * height, np.float32(-1e9))
    surface[samples.place] = samples.depth
    deepest = np.float32(3 * reach_mm)
    near = _shallow(flakes, camera, surface, width, height, deepest)
    x, y, z = columns(flakes.corner.take(near, axis=0).reshape(-1, 3))
    column, row, depth = camera.project(x, y, z, FINENESS)
    fans = (np.arange(len(near))[:, None, None] * 6 + _FAN).reshape(-1, 3).astype(np.int32)
    hits = crossings(column, row, depth, columns(fans), width, height, 0)
    below = hits.depth - surface.take(hits.pixel)
    order = np.flatnonzero((below > 0) & (below < deepest))
    # Laid from the deepest up, so that the uppermost stays; a stable sort keeps ties in the flakes' own order.
    order = order.take(np.argsort(-below.take(order), kind="stable"))
    flake = np.full(width * height, -1, np.int64)
    under = np.zeros(width * height, np.float32)
    pixel = hits.pixel.take(order)
    flake[pixel], under[pixel] = near.take(hits.triangle.take(order) // len(_FAN)), below.take(order)
    return Seen(flake.take(samples.place), under.take(samples.place))


def _shallow(flakes: Flakes, camera: Camera, surface: Floats, width: int, height: int, deepest: np.float32) -> Indices:
    """Flakes that can be seen at all: those that do not lie far below the surface in front of them."""
    x, y, z = columns(flakes.centre)
    column, row, depth = camera.project(x, y, z, FINENESS)
    across = np.clip(column, 0, width - 1).astype(np.int32)
    along = np.clip(row, 0, height - 1).astype(np.int32)
    below = depth - surface.take(along * width + across)
    size = np.float32(flakes.glitter.size_mm)
    outside = below > np.float32(1e8)  # the centre falls beside the silhouette, a corner may not
    # A flake seen from its edge has no breadth; drawn, it would be a row of dots.
    broad = np.abs(dot(flakes.normal, camera.back)) > np.float32(0.08)
    return np.flatnonzero(((below < deepest + size) | outside) & broad)


@dataclass(frozen=True)
class Runs:
    """Upright lines over a grid, where they run inside a body: `pixel` of the grid, `width` of it, its first corner
    lying one cell before the body; where each begins (z from the body's middle) and how long it is, mm."""

    pixel: Indices
    width: int
    cell: float
    start: Doubles
    long: Doubles


def upright_runs(body: Body) -> Runs:
    """The upright lines inside a body."""
    cell = math.sqrt(max(body.size[0], 1e-6) * max(body.size[1], 1e-6) / _CELLS)
    width, height = (math.ceil(body.size[i] / cell) + 2 for i in range(2))
    column = (body.x + np.float32(body.size[0] / 2)) * np.float32(1 / cell) + 1
    row = (body.y + np.float32(body.size[1] / 2)) * np.float32(1 / cell) + 1
    base = np.float32(body.size[2])
    hits = crossings(column, row, body.z + base, body.corners, width, height, 0)
    order = np.argsort((hits.pixel << 32) | hits.depth.view(np.uint32).astype(np.int64), kind="stable")
    pixel, level = hits.pixel.take(order), hits.depth.take(order).astype(np.float64)
    entering = body.face_normals[:, 2].take(hits.triangle.take(order)) < 0
    run = np.flatnonzero(entering[:-1] & (pixel[1:] == pixel[:-1])) if len(pixel) else np.zeros(0, np.int64)
    return Runs(pixel.take(run), width, cell, level.take(run) - float(base), level.take(run + 1) - level.take(run))


def _inside(body: Body, chance: Doubles) -> Doubles:
    """Points spread evenly through the body: along upright lines over a grid, as long as they run inside."""
    runs = upright_runs(body)
    ends = np.cumsum(runs.long)
    if len(ends) == 0 or not ends[-1] > 0:
        return np.zeros((0, 3))
    along = chance[:, 0] * ends[-1]
    chosen = np.minimum(np.searchsorted(ends, along, "right"), len(ends) - 1)
    points = np.empty((len(chance), 3))
    points[:, 2] = runs.start.take(chosen) + (along - (ends.take(chosen) - runs.long.take(chosen)))
    over, down = runs.pixel.take(chosen) % runs.width, runs.pixel.take(chosen) // runs.width
    points[:, 0] = (over + chance[:, 1] - 1) * runs.cell - body.size[0] / 2
    points[:, 1] = (down + chance[:, 2] - 1) * runs.cell - body.size[1] / 2
    return points


def _any_direction(random: np.random.Generator, count: int) -> Doubles:
    """Directions spread evenly, without a sine: points of a cube that fall into its ball."""
    kept = np.zeros((0, 3))
    while len(kept) < count:
        tried = random.random((count + 16, 3)) * 2 - 1
        square = tried[:, 0] ** 2 + tried[:, 1] ** 2 + tried[:, 2] ** 2
        kept = np.concatenate([kept, tried[(square < 1) & (square > 1e-4)]])
    return kept[:count]
