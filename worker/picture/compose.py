"""Plastic, glitter and sheen brought together in linear light, sample by sample."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.picture.camera import Camera
from worker.picture.exposure import toned
from worker.picture.finish import Finish
from worker.picture.glitter import Flakes, Seen
from worker.picture.glow import absorbed
from worker.picture.studio import flagged, mirrored, radiance
from worker.picture.surface import BLOCK, FINENESS, Samples
from worker.picture.vector import ALL, FADE, Floats, Indices, dot, reflected

_FLAT = np.float32(0.02)
"""Least cosine between normal and sight: beyond, a mirror's share has no meaning."""


@dataclass(frozen=True)
class Plastic:
    """Planes over the window, flat: linear `light` (3, cells) of the plastic, the share of the surroundings that is
    `open`, and in `dyes` (4, cells) what fades light on its way through, 1/mm: by channel, and in all."""

    light: Floats
    open: Floats
    dyes: Floats


def brought_together(finish: Finish, lights: list[Floats], shares: list[Floats], open_share: Floats) -> Plastic:
    """The plastic of a finish whose colours give `lights`, each of which has its share, 0 to 1, of every pixel."""
    light = np.zeros_like(lights[0])
    dyes = np.zeros((4, lights[0].shape[1]), np.float32)
    for each, own, share in zip(finish.each, lights, shares, strict=True):
        light += own * share
        inverse = np.float32(1 / each.reach_mm)
        for row, fading in enumerate((*map(absorbed, each.colour), np.float32(1))):
            dyes[row] += share * (fading * inverse)
    return Plastic(light, open_share, dyes)


def accumulate(
    camera: Camera,
    samples: Samples,
    plastic: Plastic,
    flakes: Flakes | None,
    seen: Seen | None,
    ground: str,
) -> tuple[Floats, Floats]:
    """Light in three channels as far as the bait covers each pixel of the window, and the cover, 0 to 1."""
    cells = camera.columns * camera.rows
    total = np.zeros((3, cells))
    for start in range(0, len(samples.pixel), BLOCK):
        part = slice(start, start + BLOCK)
        ray, normal, pixel = samples.ray[part], samples.normal[part], samples.pixel[part]
        slope = np.clip(-dot(normal, ray), _FLAT, ALL)
        share = mirrored(slope)
        open_share = plastic.open.take(pixel)
        sheen = radiance(camera, reflected(ray, normal, slope), ground)
        sheen *= share * (np.float32(0.3) + np.float32(0.7) * open_share)
        light = [plastic.light[channel].take(pixel) * (1 - share) for channel in range(3)]
        flag = flagged(slope, ground)
        if flag is not None:
            flag *= np.minimum(np.minimum(light[0], light[1]), light[2])
            light = [channel * (1 - flag) for channel in light]
        if flakes is not None and seen is not None:
            dyes = [dye.take(pixel) for dye in plastic.dyes]
            _lay(camera, light, ray, open_share, seen.flake[part], seen.below[part], flakes, dyes)
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
    dyes: list[Floats],
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
    way = below.take(there)
    clear = FADE(way * dyes[3].take(there)) * np.float32(0.9)
    for channel, own in enumerate(flakes.glitter.colour):
        behind = light[channel].take(there)
        bright = shine * np.float32(own) + glint * np.float32(0.35 + 0.65 * own)
        # On its way the flake's light takes on the plastic's colour, the more the deeper the flake lies.
        light[channel][there] = behind * (1 - clear) + clear * bright * FADE(way * dyes[channel].take(there))
