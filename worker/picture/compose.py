"""Plastic, glitter and sheen brought together in linear light, sample by sample."""

from __future__ import annotations

import numpy as np

from worker.picture.camera import Camera
from worker.picture.exposure import toned
from worker.picture.finish import Finish
from worker.picture.glitter import Flakes, Seen
from worker.picture.glow import absorbed
from worker.picture.plastic import Shading
from worker.picture.studio import mirrored, radiance
from worker.picture.surface import BLOCK, FINENESS, Samples
from worker.picture.vector import ALL, FADE, Floats, Indices, dot, reflected

_FLAT = np.float32(0.02)
"""Least cosine between normal and sight: beyond, a mirror's share has no meaning."""


def accumulate(
    camera: Camera,
    samples: Samples,
    shading: Shading,
    exposure: list[float],
    finish: Finish,
    flakes: Flakes | None,
    seen: Seen | None,
) -> tuple[Floats, Floats]:
    """Light in three channels as far as the bait covers each pixel of the window, and the cover, 0 to 1."""
    cells = camera.columns * camera.rows
    total = np.zeros((3, cells))
    plastic = shading.light * np.array(exposure, np.float32)[:, None]
    for start in range(0, len(samples.pixel), BLOCK):
        part = slice(start, start + BLOCK)
        ray, normal, pixel = samples.ray[part], samples.normal[part], samples.pixel[part]
        slope = np.clip(-dot(normal, ray), _FLAT, ALL)
        share = mirrored(slope)
        open_share = shading.open.take(pixel)
        sheen = radiance(camera, reflected(ray, normal, slope))
        sheen *= share * (np.float32(0.3) + np.float32(0.7) * open_share)
        light = [plastic[channel].take(pixel) * (1 - share) for channel in range(3)]
        if flakes is not None and seen is not None:
            _lay(camera, light, ray, open_share, seen.flake[part], seen.below[part], flakes, finish)
        # Samples run by rows, so a block touches a few rows only; adding up whole windows would be quadratic.
        first, last = int(pixel.min()), int(pixel.max()) + 1
        for channel in range(3):
            # The shoulder comes before the mean over the pixel, or edges of highlights would be jagged.
            curved = toned(light[channel] + sheen)
            total[channel, first:last] += np.bincount(pixel - first, curved, last - first)
    cover = np.bincount(samples.pixel, minlength=cells)
    whole = 1 / FINENESS**2
    return (total * whole).astype(np.float32), (cover * whole).astype(np.float32)


def _lay(
    camera: Camera,
    light: list[Floats],
    ray: Floats,
    open_share: Floats,
    flake: Indices,
    below: Floats,
    flakes: Flakes,
    finish: Finish,
) -> None:
    """Lay the flakes that are seen over the plastic's light, in place."""
    there = np.flatnonzero(flake >= 0)
    if len(there) == 0:
        return
    normal, sight = flakes.normal.take(flake.take(there), axis=0), ray.take(there, axis=0)
    around = radiance(camera, reflected(sight, normal, -dot(sight, normal)))
    shade = np.float32(0.4) + np.float32(0.6) * open_share.take(there)
    # The lamp itself in a flake is a glint, nearly white; all else has the flake's colour.
    shine = (np.float32(0.70) + np.float32(0.45) * np.minimum(around, np.float32(1.2))) * shade
    glint = np.float32(0.035) * around * shade
    way = below.take(there) * np.float32(1 / finish.reach_mm)
    clear = FADE(way) * np.float32(0.9)
    for channel, (own, dye) in enumerate(zip(flakes.glitter.colour, finish.colour, strict=True)):
        behind = light[channel].take(there)
        bright = shine * np.float32(own) + glint * np.float32(0.35 + 0.65 * own)
        # On its way the flake's light takes on the plastic's colour, the more the deeper the flake lies.
        light[channel][there] = behind * (1 - clear) + clear * bright * FADE(way * absorbed(dye))
