"""What share of each pixel each colour of a bait has: by height for a laminate, by the skin's depth over a core."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.finish import Finish
from worker.picture.glitter import upright_runs
from worker.picture.lie import CoreShot, Laminate
from worker.picture.raster import nearest
from worker.picture.smooth import soft
from worker.picture.surface import Points
from worker.picture.vector import ALL, FADE, Doubles, Floats, ramp

_BLUR, _BLUR_OF_REACH = 0.20, 0.06
"""Half of the way over which one plastic of a laminate passes into the next, mm, and the share of light's reach in it
that is added (judgement, by looking)."""

_VEIL = 0.7
"""How many times as fast as light fades the sight of a core is lost in the skin over it: it goes in and out again."""

_SEEN = 1.4
"""How much of a core is seen over the skin's clarity: light that does not go in brings nothing back."""

_SPREAD = 0.35
"""How far a core's edge is blurred, over the skin's usual depth."""


def colour_shares(finish: Finish, body: Body, camera: Camera, points: Points) -> list[Floats]:
    """The share of each of the finish's colours over the window, flat, together 1."""
    if isinstance(finish.lie, Laminate):
        return _by_height(finish, finish.lie, camera, points)
    if isinstance(finish.lie, CoreShot):
        return _by_depth(finish, finish.lie, body, camera, points)
    return [np.ones(points.columns * points.rows, np.float32)]


def _by_height(finish: Finish, lie: Laminate, camera: Camera, points: Points) -> list[Floats]:
    reach = min(each.reach_mm for each in finish.each)
    half = max(_BLUR + _BLUR_OF_REACH * reach, 0.6 / camera.scale)
    above = [points.plane(ramp(points.height, level - half, level + half)).ravel() for level in lie.heights]
    bounds = [np.zeros_like(above[0]), *above, np.ones_like(above[0])]
    shares: list[Floats] = [np.maximum(lower - upper, np.float32(0)) for upper, lower in pairwise(bounds)]
    return shares


def _by_depth(finish: Finish, lie: CoreShot, body: Body, camera: Camera, points: Points) -> list[Floats]:
    x, y, z = (np.ascontiguousarray((lie.vertices - body.shift)[:, axis], np.float32) for axis in range(3))
    corners = [np.ascontiguousarray(lie.triangles[:, slot], np.int32) for slot in range(3)]
    hits = nearest(*camera.project(x, y, z), corners, points.columns, points.rows, -1)
    deep = np.full(points.columns * points.rows, np.float32(1e9))
    deep[hits.pixel] = hits.depth
    under = np.maximum(deep.take(points.pixel) - points.depth, np.float32(0))
    skin = finish.each[0]
    share = FADE(under * np.float32(_VEIL / skin.reach_mm)) * np.float32(min(1.0, _SEEN * skin.clarity))
    cored = under < np.float32(1e8)
    usual = float(np.median(under[cored])) if cored.any() else 0.0
    radius = min(_SPREAD * usual * camera.scale, 0.05 * camera.width)
    cover = soft(points.plane(np.ones(len(share), np.float32)), radius)
    core = soft(points.plane(np.where(cored, share, np.float32(0))), radius) / np.maximum(cover, np.float32(1e-6))
    inside = np.minimum(core.ravel(), ALL)
    return [ALL - inside, inside]


def heights_of_shares(vertices: ArrayLike, triangles: ArrayLike, shares: list[float]) -> tuple[float, ...]:
    """The heights, mm and falling, that part a closed mesh, (n, 3) mm and (m, 3), into `shares` of its volume, the
    uppermost first. Raises GeometryFailed for a mesh that is none."""
    body = Body(vertices, triangles)
    runs = upright_runs(body)
    begin, long = runs.start + float(body.shift[2]), runs.long
    found = []
    for part in np.cumsum(np.array(shares[:-1])).tolist():
        found.append(_height_over(begin, long, part * float(np.cumsum(long)[-1])))
    return tuple(found)


def _height_over(begin: Doubles, long: Doubles, wanted: float) -> float:
    """The height over which `wanted` of the upright lines' length lies, by halving, to a thousandth of a millimetre."""
    low, high = float(begin.min()), float((begin + long).max())
    while high - low > 1e-3:
        middle = 0.5 * (low + high)
        above = np.clip(begin + long - middle, 0.0, long)
        low, high = (middle, high) if float(np.cumsum(above)[-1]) > wanted else (low, middle)
    return round(0.5 * (low + high), 3)
