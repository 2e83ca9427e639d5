"""What the camera sees of the body: samples for what is sharp, one point a pixel for what is smooth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.raster import nearest
from worker.picture.vector import Flags, Floats, Indices, Integers, dot, normalised

FINENESS = 2
"""Samples along each side of a pixel."""

BLOCK = 16384
"""Samples worked at a time: their arrays stay in the processor's cache."""

_CREASE = np.float32(0.80)
"""Cosine between a face and its vertex normal below which the edge is sharp and the face keeps its own normal."""


@dataclass(frozen=True)
class Samples:
    """Covered samples by ascending place in the fine window: `pixel` in the window, unit `normal` and `ray`."""

    place: Indices
    pixel: Integers
    depth: Floats
    normal: Floats
    ray: Floats


@dataclass(frozen=True)
class Points:
    """One point of the surface for each covered pixel of the window, by ascending `pixel`.

    `point` in mm from the body's middle. `cell` numbers the pixel within a pattern of four by four: whatever is
    tried in different directions by neighbours is averaged again over that pattern.
    """

    pixel: Indices
    column: Integers
    row: Integers
    depth: Floats
    normal: Floats
    ray: Floats
    point: Floats
    cell: Integers
    columns: int
    rows: int

    def plane(self, values: Floats, empty: float = 0.0) -> Floats:
        """Values of the points spread over the window, `rows` by `columns`."""
        spread = np.full(self.rows * self.columns, np.float32(empty))
        spread[self.pixel] = values
        return spread.reshape(self.rows, self.columns)


def look(body: Body, camera: Camera) -> tuple[Samples, Points]:
    """Samples and points of a body in a view."""
    width, height = camera.columns * FINENESS, camera.rows * FINENESS
    column, row, depth = camera.project(body.x, body.y, body.z, FINENESS)
    hits = nearest(column, row, depth, body.corners, width, height, -1)
    down = (hits.pixel // width).astype(np.int32)
    over = (hits.pixel - down.astype(np.int64) * width).astype(np.int32)
    pixel = (down // FINENESS) * camera.columns + over // FINENESS
    fine_x = (over + np.float32(0.5)).astype(np.float32) * np.float32(1 / FINENESS)
    fine_y = (down + np.float32(0.5)).astype(np.float32) * np.float32(1 / FINENESS)
    count = len(pixel)
    normal, ray = np.empty((count, 3), np.float32), np.empty((count, 3), np.float32)
    for start in range(0, count, BLOCK):
        part = slice(start, start + BLOCK)
        ray[part] = camera.rays(fine_x[part], fine_y[part])
        normal[part] = _normals(body, hits.triangle[part], hits.u[part], hits.v[part], ray[part])
    samples = Samples(hits.pixel, pixel, hits.depth, normal, ray)
    # The first sample of each pixel stands for it.
    first = np.full(camera.columns * camera.rows, count, np.int64)
    first[pixel[::-1]] = np.arange(count - 1, -1, -1)
    covered = np.flatnonzero(first < count)
    chosen = first.take(covered)
    across, along = (covered % camera.columns).astype(np.int32), (covered // camera.columns).astype(np.int32)
    sight = ray.take(chosen, axis=0)
    place = camera.points(fine_x.take(chosen), fine_y.take(chosen), hits.depth.take(chosen), sight)
    points = Points(
        covered,
        across,
        along,
        hits.depth.take(chosen),
        normal.take(chosen, axis=0),
        sight,
        place.astype(np.float32),
        (along % 4) * 4 + across % 4,
        camera.columns,
        camera.rows,
    )
    return samples, points


def _normals(body: Body, triangle: Indices, u: Floats, v: Floats, ray: Floats) -> Floats:
    """Normals, smooth but for creases, and never turned away from the camera."""
    face = body.face_normals.take(triangle, axis=0)
    summed = np.zeros_like(face)
    for corner, weight in zip(body.corners, (1 - u - v, u, v), strict=True):
        smooth = body.vertex_normals.take(corner.take(triangle), axis=0)
        sharp: Flags = dot(smooth, face) < _CREASE
        if sharp.any():
            smooth = np.where(sharp[:, None], face, smooth)
        summed += smooth * weight[:, None]
    smoothed = normalised(summed)
    away: Flags = dot(smoothed, ray) > np.float32(-0.02)
    turned: Floats = np.where(away[:, None], face, smoothed)
    return turned
