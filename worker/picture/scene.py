"""From a mesh and a finish to a picture, on one screen."""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike
from PIL import Image

from worker.picture.backdrop import BACKGROUNDS, picture
from worker.picture.body import Body
from worker.picture.camera import Bounds, View, frame
from worker.picture.compose import accumulate, brought_together
from worker.picture.exposure import exposed
from worker.picture.finish import Finish
from worker.picture.glitter import Flakes, see, stir
from worker.picture.ground import shadow
from worker.picture.light import KEY, LightMap, direction
from worker.picture.plastic import shade
from worker.picture.shares import colour_shares
from worker.picture.surface import look

SMALLEST, LARGEST = 16, 2048
"""Bounds on width and height in pixels."""


@dataclass(frozen=True)
class Prepared:
    """A bait ready to be drawn from any side: nothing in it depends on the view."""

    body: Body
    finish: Finish
    flakes: Flakes | None


def prepare(
    vertices: ArrayLike, triangles: ArrayLike, finish: Finish, heights: ArrayLike | None = None, *, floats: bool = False
) -> Prepared:
    """A closed mesh (mm; see `render`) with its glitter stirred in. Raises GeometryFailed like `render`.

    `heights` (n,) in mm are those of a posed mesh's vertices in the mould; what `floats` throws no shadow.
    """
    body = Body(vertices, triangles, heights, floats=floats)
    return Prepared(body, finish, stir(body, finish.glitter) if finish.glitter is not None else None)


def draw(
    prepared: Prepared,
    *,
    view: View = "three_quarter",
    width: int = 800,
    height: int = 600,
    background: str = "white",
    margin: float = 0.06,
    pixels_per_mm: float | None = None,
    bounds: Bounds | None = None,
) -> Image.Image:
    """A picture of a prepared bait; arguments and ValueErrors as for `render`.

    `bounds`, as of `camera.extent`, hold the frame still while what is in it moves.
    """
    _check(width, height, background, margin)
    body, finish = prepared.body, prepared.finish
    camera = frame(body, view, width, height, margin, pixels_per_mm, bounds)
    samples, points = look(body, camera)
    key = LightMap(body, camera, direction(camera, KEY))
    shading = shade(body, camera, points, finish, key)
    shares = colour_shares(finish, body, camera, points)
    plastic = brought_together(finish, exposed(camera, points, shading, finish), shares, shading.open)
    seen = see(prepared.flakes, camera, samples, finish.reach_mm) if prepared.flakes is not None else None
    light, cover = accumulate(camera, samples, plastic, prepared.flakes, seen, background)
    return picture(camera, light, cover, shadow(body, camera, key), finish, background)


def render(
    vertices: ArrayLike,
    triangles: ArrayLike,
    *,
    finish: Finish,
    view: View = "three_quarter",
    width: int = 800,
    height: int = 600,
    background: str = "white",
    margin: float = 0.06,
    pixels_per_mm: float | None = None,
) -> Image.Image:
    """A picture of a closed mesh in soft plastic, the same to the byte on every machine.

    `vertices` are rows of x, y, z in mm (x from nose to tail, y to the left, z to the back), `triangles` rows
    of three vertex numbers, wound outwards. `view` is "three_quarter", "top", "side", "front" or (azimuth,
    elevation) in degrees; the three flat views are drawn without perspective. `background` is "white", "paper",
    "dark" or "transparent" (RGBA). `margin` is the free share at each edge, 0 to 0.45; `pixels_per_mm` fixes the
    scale instead (in perspective at the bait's middle).

    Raises GeometryFailed for a mesh that is empty, not finite or not a solid, ValueError for a size, view,
    margin, scale or background that cannot be used.
    """
    return draw(
        prepare(vertices, triangles, finish),
        view=view,
        width=width,
        height=height,
        background=background,
        margin=margin,
        pixels_per_mm=pixels_per_mm,
    )


def _check(width: int, height: int, background: str, margin: float) -> None:
    if not (SMALLEST <= width <= LARGEST and SMALLEST <= height <= LARGEST):
        raise ValueError(f"a picture is {SMALLEST} to {LARGEST} pixels wide and high, not {width} x {height}")
    if background not in BACKGROUNDS:
        raise ValueError(f"a background is one of {', '.join(BACKGROUNDS)}, not {background!r}")
    if not 0 <= margin <= 0.45:
        raise ValueError(f"a margin lies between 0 and 0.45, not at {margin}")
