"""A body from straight above in matt grey, for drawings: each face in its own light, what lies deeper darker."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from PIL import Image

from worker.picture.backdrop import PAPER
from worker.picture.body import Body
from worker.picture.camera import frame
from worker.picture.scan import seen_from_above
from worker.picture.surface import FINENESS
from worker.picture.vector import Floats, dot

_LIGHT = np.array([-0.42, 0.48, 0.77], np.float32)
"""Towards the light, from the upper left: unit length to three digits."""
_GREY, _SHADE, _DEEPER = 226.0, 0.55, 0.35
"""The grey of a face that looks into the light, what is left of it on one that looks away, and how much darker the
lowest place is than the highest."""


_LEVEL, _STEP, _EDGE = 0.9999, 0.03, 96.0
"""Upward part of a level face's normal, the least step, mm, that is drawn as a line, and the line's grey."""


def from_above(vertices: ArrayLike, triangles: ArrayLike, width: int, height: int, pixels_per_mm: float) -> Image.Image:
    """A closed mesh, (n, 3) mm and (m, 3), its middle in the middle of `width` by `height` pixels on paper.

    Raises GeometryFailed for a mesh that is none, ValueError where it does not fit.
    """
    body = Body(vertices, triangles)
    camera = frame(body, "top", width, height, 0.0, pixels_per_mm)
    across, down = camera.columns * FINENESS, camera.rows * FINENESS
    seen = seen_from_above(*camera.project(body.x, body.y, body.z, FINENESS), body.corners, across, down)
    lit = np.clip(dot(body.face_normals, np.broadcast_to(_LIGHT, body.face_normals.shape)), 0.0, 1.0)
    light = (_GREY * (_SHADE + (1 - _SHADE) * np.minimum(lit / _LIGHT[2], 1.12))).astype(np.float32)
    deeper = np.float32(_DEEPER / max(float(body.size[2]), 1e-6))
    grey = light.take(seen.triangle) * (1 - deeper * (seen.depth - seen.depth[seen.covered].min()))
    flat = (body.face_normals[:, 2] > _LEVEL).take(seen.triangle) & seen.covered
    grey[_steps(seen.depth, flat)] = _EDGE
    fine = np.where(seen.covered, np.minimum(grey, np.float32(255)), np.float32(0))
    shade, mask = _shrunk(fine), _shrunk(np.where(seen.covered, np.float32(255), np.float32(0)))
    shade = np.minimum(shade / np.maximum(mask, 1) * 255, 255)
    page = Image.new("RGB", (width, height), PAPER)
    window = Image.fromarray(np.rint(shade).astype(np.uint8)).convert("RGB")
    page.paste(window, (camera.left, camera.top), Image.fromarray(np.rint(mask).astype(np.uint8)))
    return page


def _shrunk(plane: Floats) -> Floats:
    """The mean of each pixel's samples."""
    parts = [plane[down::FINENESS, over::FINENESS] for down in range(FINENESS) for over in range(FINENESS)]
    total: Floats = sum(parts[1:], parts[0]) * np.float32(1 / FINENESS**2)
    return total


def _steps(depth: Floats, flat: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The samples on a level face that ends in a step beside them: a shallow recess has no other shade."""
    edge = np.zeros(depth.shape, dtype=bool)
    edge[:, 1:] = flat[:, 1:] & flat[:, :-1] & (np.abs(np.diff(depth, axis=1)) > _STEP)
    edge[1:] |= flat[1:] & flat[:-1] & (np.abs(np.diff(depth, axis=0)) > _STEP)
    return edge
