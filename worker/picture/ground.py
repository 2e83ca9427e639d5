"""The shadow of the bait on the ground under it: close and dark where it touches, wide and soft elsewhere."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.light import LightMap
from worker.picture.raster import nearest
from worker.picture.smooth import soft
from worker.picture.vector import Floats

_LOWEST_ELEVATION = 14.0
"""Views from lower down, in degrees, see the ground nearly edge on and get a band below the bait instead."""

_SIGHT_STEPS = 24

_KEY_SHARE, _SKY_SHARE = 0.34, 0.52
"""Share of the ground's light that the main lamp and the open sky give, as far as a shadow takes them away."""

_LAYERS = (0.0, 0.05, 0.14, 0.35, 0.8, 1e9)
"""Heights over the ground, as shares of the bait's own height, between which its underside is taken as level."""

_PENUMBRA = 0.14
"""Blur of the main lamp's shadow as a share of the bait's height: the lamp is a wide soft box."""

_FEWEST, _MOST = 96, 200
"""Bounds on the cells along the ground's longer side; a small picture shows no more of a soft shadow."""


def shadow(body: Body, camera: Camera, key: LightMap) -> Floats:
    """Share of the ground's light that is missing at each pixel of the frame, `height` by `width`, 0 to 1.

    Seen from below there is no ground and no shadow, nor under what floats.
    """
    if camera.elevation < 0 or body.floats:
        return np.zeros((camera.height, camera.width), np.float32)
    coarse = 2 if camera.width * camera.height > 60_000 else 1
    width, height = -(-camera.width // coarse), -(-camera.height // coarse)
    column = (np.arange(width, dtype=np.float32) + np.float32(0.5)) * np.float32(coarse)
    row = (np.arange(height, dtype=np.float32) + np.float32(0.5)) * np.float32(coarse)
    across = (column - np.float32(camera.width / 2)) * np.float32(1 / camera.scale) + np.float32(camera.middle[0])
    along = (np.float32(camera.height / 2) - row) * np.float32(1 / camera.scale) + np.float32(camera.middle[1])
    if camera.elevation < _LOWEST_ELEVATION:
        missing = _edge_on(body, camera, key, across, along)
    else:
        ground = _ground_points(body, camera, np.tile(across, height), np.repeat(along, width))
        missing = _missing(body, key, ground, _cells(body, camera)).reshape(height, width)
    return _enlarged(missing, coarse)[: camera.height, : camera.width]


def _missing(body: Body, key: LightMap, ground: Floats, cells: int) -> Floats:
    missing: Floats = np.float32(_KEY_SHARE) * _key_shadow(body, key, ground)
    missing += np.float32(_SKY_SHARE) * _closeness(body, ground, cells)
    return missing


def _cells(body: Body, camera: Camera) -> int:
    """Cells of the ground at this scale, three pixels each within bounds."""
    return min(_MOST, max(_FEWEST, round(2 * body.radius * camera.scale / 3)))


def _ground_points(body: Body, camera: Camera, across: Floats, along: Floats) -> Floats:
    """Where places of the picture see the ground, in mm from the body's middle; far away above the horizon."""
    points = np.empty((len(across), 3), np.float32)
    points[:, 2] = body.floor
    on_plane = [across * camera.right[i] + along * camera.up[i] for i in range(3)]
    if camera.perspective:
        eye = [np.float32(camera.distance) * camera.back[i] for i in range(3)]
        sight = [on_plane[i] - eye[i] for i in range(3)]
        way = (np.float32(body.floor) - eye[2]) / np.minimum(sight[2], np.float32(-1e-3))
        for i in range(2):
            points[:, i] = eye[i] + way * sight[i]
    else:
        way = (on_plane[2] - np.float32(body.floor)) / camera.back[2]
        for i in range(2):
            points[:, i] = on_plane[i] - way * camera.back[i]
    return points


def _edge_on(body: Body, camera: Camera, key: LightMap, across: Floats, along: Floats) -> Floats:
    """The shadow for a view along the ground: its mean in the direction of sight, as a soft band below the bait."""
    azimuth = math.radians(camera.azimuth)
    sine, cosine = math.sin(azimuth), math.cos(azimuth)
    long = abs(sine) * body.size[0] + abs(cosine) * body.size[1]
    steps = ((np.arange(_SIGHT_STEPS) + 0.5) / _SIGHT_STEPS - 0.5) * long
    ahead = np.repeat(steps.astype(np.float32), len(across))
    points = np.empty((len(ahead), 3), np.float32)
    points[:, 0] = np.tile(across * camera.right[0], _SIGHT_STEPS) + ahead * np.float32(sine)
    points[:, 1] = np.tile(across * camera.right[1], _SIGHT_STEPS) + ahead * np.float32(cosine)
    points[:, 2] = body.floor
    mean = np.zeros(len(across), np.float32)
    for values in _missing(body, key, points, _cells(body, camera)).reshape(_SIGHT_STEPS, len(across)):
        mean += values * np.float32(1 / _SIGHT_STEPS)
    half = min(0.5 * long * math.sin(math.radians(_LOWEST_ELEVATION)), 0.2 * body.size[2]) + 2 / camera.scale
    offset = (along - np.float32(body.floor * float(camera.up[2]) - 0.3 * half)) * np.float32(1 / half)
    bell = np.maximum(1 - offset * offset, np.float32(0))
    band: Floats = (bell * bell)[:, None] * mean[None, :]
    return band


def _key_shadow(body: Body, key: LightMap, ground: Floats) -> Floats:
    """Share of the main lamp that the body hides, its edge blurred."""
    penumbra = _PENUMBRA * body.size[2] / key.cell_mm
    pad = int(3 * penumbra) + 3
    fold = max(1, round(body.radius / (90 * key.cell_mm)))
    cover = np.pad(key.cover().astype(np.float32), pad)
    rows, columns = cover.shape[0] // fold, cover.shape[1] // fold
    folded = cover[: rows * fold, : columns * fold].reshape(rows, fold, columns, fold)
    small = (folded.sum(axis=(1, 3)) * np.float32(1 / fold**2)).astype(np.float32)
    small = soft(small, penumbra / fold)
    column, row = key.place(ground)
    shift = np.float32(pad)
    return _between(small, (column + shift) * np.float32(1 / fold), (row + shift) * np.float32(1 / fold))


def _closeness(body: Body, ground: Floats, cells: int) -> Floats:
    """Share of the sky that the body hides.

    A level patch at height h hides from a point at distance r the share h^2 / (pi (r^2 + h^2)^2) of its area (the
    form factor of parallel patches), a bell of unit volume about as wide as h: so each layer of the underside is
    blurred by its height.
    """
    tall = max(body.size[2], 1e-3)
    pad_mm = min(1.5 * tall, 0.6 * max(body.size[:2]))
    cell = (max(body.size[:2]) + 2 * pad_mm) / cells
    columns, rows = (math.ceil((body.size[i] + 2 * pad_mm) / cell) + 1 for i in range(2))
    left, low = (body.size[i] / 2 + pad_mm for i in range(2))
    column, row = (
        (body.x + np.float32(left)) * np.float32(1 / cell),
        (body.y + np.float32(low)) * np.float32(1 / cell),
    )
    base = np.float32(tall)
    hits = nearest(column, row, body.z - np.float32(body.floor) + base, body.corners, columns, rows, -1)
    under = hits.depth - base
    total = np.zeros((rows, columns), np.float32)
    for lower, upper in pairwise(_LAYERS):
        layer = np.flatnonzero((under >= np.float32(lower * tall)) & (under < np.float32(upper * tall)))
        if len(layer) == 0:
            continue
        plane = np.zeros(rows * columns, np.float32)
        plane[hits.pixel.take(layer)] = 1
        mean = float(np.cumsum(under.take(layer), dtype=np.float64)[-1]) / len(layer)
        total += soft(plane.reshape(rows, columns), mean / cell, passes=2)
    total = soft(np.minimum(total, np.float32(1)), 0.1 * tall / cell, passes=2)
    return _between(
        total,
        (ground[:, 0] + np.float32(left)) * np.float32(1 / cell),
        (ground[:, 1] + np.float32(low)) * np.float32(1 / cell),
    )


def _between(plane: Floats, column: Floats, row: Floats) -> Floats:
    """A plane read between its cell centres; zero outside."""
    rows, columns = plane.shape
    framed = np.pad(plane, 1).ravel()
    x = np.clip(column + np.float32(0.5), np.float32(0), np.float32(columns + 0.999))
    y = np.clip(row + np.float32(0.5), np.float32(0), np.float32(rows + 0.999))
    x0, y0 = x.astype(np.int32), y.astype(np.int32)
    dx, dy = x - x0.astype(np.float32), y - y0.astype(np.float32)
    place = y0 * np.int32(columns + 2) + x0
    upper = framed.take(place, mode="clip") * (1 - dx) + framed.take(place + 1, mode="clip") * dx
    place += np.int32(columns + 2)
    lower = framed.take(place, mode="clip") * (1 - dx) + framed.take(place + 1, mode="clip") * dx
    between: Floats = upper * (1 - dy) + lower * dy
    return between


def _enlarged(plane: Floats, factor: int) -> Floats:
    """A plane enlarged twofold, straight between its cells."""
    if factor == 1:
        return plane
    for axis in (0, 1):
        moved = np.moveaxis(plane, axis, 0)
        framed = np.concatenate([moved[:1], moved, moved[-1:]])
        wide = np.empty((2 * len(moved), moved.shape[1]), np.float32)
        wide[0::2] = framed[1:-1] * np.float32(0.75) + framed[:-2] * np.float32(0.25)
        wide[1::2] = framed[1:-1] * np.float32(0.75) + framed[2:] * np.float32(0.25)
        plane = np.moveaxis(wide, 0, axis)
    return plane
