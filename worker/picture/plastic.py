"""The plastic's own light: what its skin scatters back at once, and what comes from its inside."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.finish import Finish
from worker.picture.glow import glow, thickness, tints
from worker.picture.light import BACK, LightMap, direction
from worker.picture.occlusion import surroundings
from worker.picture.smooth import pattern_mean
from worker.picture.surface import Points
from worker.picture.vector import ALL, FADE, NONE, Floats, Table, dot

_BACK_POWER = 0.8
"""The lamp behind, the main one being 1."""

_STEP_IN_DEPTH = 6.0
"""Pixels' worth of depth from one pixel to the next that still count as one surface."""

_THIN_MM = 2.0
"""Of plastic that a fluorescent dye shines through."""

_SHADOW_TAPS = np.array(((-2.1, 0.7), (0.3, -1.6), (1.9, 1.2), (-0.4, 2.3), (1.2, -0.5), (-1.3, -2.2)), np.float32)
"""Cells of the light map, across and along, at which a soft shadow is sampled."""


@dataclass(frozen=True)
class Shading:
    """Planes over the window, flat: linear `light` of the plastic in three channels, one array for each of the
    finish's colours, the share of the surroundings that is `open`, and the main lamp's `lit` share of its light."""

    light: list[Floats]
    open: Floats
    lit: Floats


def shade(body: Body, camera: Camera, points: Points, finish: Finish, key: LightMap) -> Shading:
    """The plastic's own light at every point, before the exposure is set."""
    thick = thickness(body, camera, points)
    open_share, sky = surroundings(body, camera, points)
    back = LightMap(body, camera, direction(camera, BACK))
    lamps = [(key, 1.0), (back, _BACK_POWER)]
    colours = [(each, tints(each)) for each in finish.each]
    inside = [glow(points, lamps, thick, each.reach_mm, tint) for each, tint in colours]
    rim = [_rim(points)] if finish.fluorescent else []
    wanted = (open_share, sky, _lit(points, key), *(channel for each in inside for channel in each), *rim)
    planes = np.stack([points.plane(q) for q in wanted])
    cover = points.plane(np.ones(len(points.pixel), np.float32))
    depth = points.plane(points.depth, 1e9)
    planes = pattern_mean(planes, cover, depth, _STEP_IN_DEPTH / camera.scale)
    open_share, sky, lit, *rest = planes.reshape(len(planes), -1)
    thick = points.plane(thick).ravel()
    light = []
    for number, (each, tint) in enumerate(colours):
        light.append(_mixed(each, tint, open_share, sky, lit, thick, rest[3 * number : 3 * number + 3]))
        if each.fluorescent:
            _shine(light[-1], each, sky, lit, thick, rest[-1])
    return Shading(light, open_share, lit)


def _mixed(
    finish: Finish,
    colours: list[Table],
    open_share: Floats,
    sky: Floats,
    lit: Floats,
    thick: Floats,
    inside: list[Floats],
) -> Floats:
    """Skin and inside by the finish's translucency. The weights are judgement, settled by looking."""
    clear = np.float32(finish.clarity)
    way = thick * np.float32(1 / finish.reach_mm)
    through = FADE(way)
    light = np.empty((3, len(lit)), np.float32)
    for channel, tint in enumerate(colours):
        colour = np.float32(finish.colour[channel])
        skin = colour * (np.float32(0.62) * lit + np.float32(0.42) * sky)
        deep = np.float32(max(finish.colour[channel], 1e-3) ** 1.35)
        deep_light = deep * (np.float32(0.12) + np.float32(0.25) * sky)
        backdrop = np.float32(0.34) + np.float32(0.26) * open_share
        passed = through * tint(np.float32(0.4) + way) * backdrop
        within = inside[channel] * np.float32(0.95) + deep_light + passed
        light[channel] = (1 - clear) * skin + clear * within
    return light


def _rim(points: Points) -> Floats:
    """How nearly the skin is seen from its edge, 0 to 1."""
    slope = np.clip(-dot(points.normal, points.ray), NONE, ALL)
    rest: Floats = 1 - slope
    return rest * rest


def _shine(light: Floats, finish: Finish, sky: Floats, lit: Floats, thick: Floats, rim: Floats) -> None:
    """Add, in place, what a fluorescent dye makes of the light that it takes in.

    It gives it back every way alike, so most is caught inside by the skin and comes out at edges and thin places. How
    much is judgement, settled by looking.
    """
    taken_in = np.float32(0.30) + np.float32(0.25) * lit + np.float32(0.35) * sky
    edge = np.float32(0.22) + np.float32(1.50) * rim + np.float32(0.45) * FADE(thick * np.float32(1 / _THIN_MM))
    made = taken_in * edge
    for channel, colour in enumerate(finish.colour):
        light[channel] *= np.float32(0.7)
        light[channel] += np.float32(colour) * made


def _lit(points: Points, key: LightMap) -> Floats:
    """The main lamp's light on the skin, its shadow softened."""
    slope = np.maximum(dot(points.normal, key.toward), NONE)
    cell = np.float32(key.cell_mm)
    # A curved surface falls away from a neighbouring cell's plane, the more the more it slants.
    slant = np.sqrt(np.maximum(1 - slope * slope, NONE)) / np.maximum(slope, np.float32(0.15))
    allowed = cell * (1 + np.float32(0.8) * slant)
    start = points.point + points.normal * cell
    free = np.zeros(len(slope), np.float32)
    for turn in range(3):
        tap = _SHADOW_TAPS.take((points.cell + 2 * turn + points.cell // 4) % len(_SHADOW_TAPS), axis=0)
        free += key.depth(start, tap[:, 0], tap[:, 1]) < allowed
    lit: Floats = slope * free * np.float32(1 / 3)
    return lit
