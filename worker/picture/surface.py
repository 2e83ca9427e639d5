"""What the camera sees of the body: samples for what is sharp, one point a pixel for what is smooth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.raster import Weighed, nearest_weighed
from worker.picture.vector import Floats, Indices, Integers, dot, normalised

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

    `point` in mm from the body's middle, `height` in mm in the mould. `cell` numbers the pixel within a pattern of
    four by four: whatever is tried in different directions by neighbours is averaged again over that pattern.
    """

    pixel: Indices
    column: Integers
    row: Integers
    depth: Floats
    normal: Floats
    ray: Floats
    point: Floats
    height: Floats
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
    hits = nearest_weighed(column, row, depth, body.corners, width, height, -1)
    owner, corners, faces = _corner_normals(body, hits.triangle)
    count = len(hits.pixel)
    pixel = np.empty(count, np.int32)
    normal, ray = np.empty((count, 3), np.float32), np.empty((count, 3), np.float32)
    for start in range(0, count, BLOCK):
        part = slice(start, start + BLOCK)
        down, over = np.divmod(hits.pixel[part].astype(np.int32), np.int32(width))
        pixel[part] = (down // FINENESS) * camera.columns + over // FINENESS
        ray[part] = camera.rays(_middle(over), _middle(down))
        normal[part] = _normals(corners, faces, owner[part], hits.u[part], hits.v[part], ray[part])
    samples = Samples(hits.pixel, pixel, hits.depth, normal, ray)
    return samples, _one_a_pixel(body, camera, samples, hits)


def _middle(place: Integers) -> Floats:
    """Window coordinates in pixels of the middles of fine places."""
    middle: Floats = (place.astype(np.float32) + np.float32(0.5)) * np.float32(1 / FINENESS)
    return middle


def _one_a_pixel(body: Body, camera: Camera, samples: Samples, hits: Weighed) -> Points:
    """The first sample of each pixel, which stands for it."""
    count = len(samples.pixel)
    first = np.full(camera.columns * camera.rows, count, np.int64)
    first[samples.pixel[::-1]] = np.arange(count - 1, -1, -1)
    covered = np.flatnonzero(first < count)
    chosen = first.take(covered)
    down, over = np.divmod(samples.place.take(chosen).astype(np.int32), np.int32(camera.columns * FINENESS))
    row, column = np.divmod(covered.astype(np.int32), np.int32(camera.columns))
    ray, depth = samples.ray.take(chosen, axis=0), samples.depth.take(chosen)
    return Points(
        pixel=covered,
        column=column,
        row=row,
        depth=depth,
        normal=samples.normal.take(chosen, axis=0),
        ray=ray,
        point=camera.points(_middle(over), _middle(down), depth, ray),
        height=_height(body, hits, chosen),
        cell=(row % 4) * 4 + column % 4,
        columns=camera.columns,
        rows=camera.rows,
    )


def _height(body: Body, hits: Weighed, chosen: Indices) -> Floats:
    """How high in the mould each of the `chosen` samples lies."""
    u, v, triangle = hits.u.take(chosen), hits.v.take(chosen), hits.triangle.take(chosen)
    a, b, c = (body.height.take(corner.take(triangle)) for corner in body.corners)
    height: Floats = a * (1 - u - v) + b * u + c * v
    return height


def _corner_normals(body: Body, triangle: Indices) -> tuple[Integers, list[Floats], Floats]:
    """For the triangles that are seen: their number for each sample, normals at each corner, face normals.

    A corner's normal is the smooth one, but the face's own where the two part: there the edge is sharp.
    """
    seen = np.zeros(len(body.face_normals), np.bool_)
    seen[triangle] = True
    kept = np.flatnonzero(seen)
    number = np.cumsum(seen, dtype=np.int32) - np.int32(1)
    face = body.face_normals.take(kept, axis=0)
    corners = []
    for corner in body.corners:
        smooth = body.vertex_normals.take(corner.take(kept), axis=0)
        sharp = dot(smooth, face) < _CREASE
        corners.append(np.where(sharp[:, None], face, smooth))
    return number.take(triangle), corners, face


def _normals(corners: list[Floats], faces: Floats, owner: Integers, u: Floats, v: Floats, ray: Floats) -> Floats:
    """Normals between the corners, never turned away from the camera."""
    summed = corners[0].take(owner, axis=0) * (1 - u - v)[:, None]
    summed += corners[1].take(owner, axis=0) * u[:, None]
    summed += corners[2].take(owner, axis=0) * v[:, None]
    normal = normalised(summed)
    away = np.flatnonzero(dot(normal, ray) > np.float32(-0.02))
    normal[away] = faces.take(owner.take(away), axis=0)
    return normal
