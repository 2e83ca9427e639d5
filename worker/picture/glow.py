"""Light that has been inside the plastic: scattered on its way in, or gone right through.

Light that has gone far through dyed plastic is deeper in colour. With the finish's colour c as that of the
middling way, light that has gone p times as far has the colour c^p (the law of Bouguer and Lambert), so
thin edges come out pale and the shaded side deep.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from worker.picture.body import Body
from worker.picture.camera import Camera
from worker.picture.finish import Finish
from worker.picture.light import LightMap
from worker.picture.raster import nearest
from worker.picture.surface import Points
from worker.picture.vector import ALL, FADE, NONE, Floats, Table, dot, normalised, ramp

REFRACTION = 1.53
"""Refractive index of plasticised PVC (from memory; judgement)."""

_DARKEST = 0.012
"""No dye is so strong that nothing comes through a short way."""

_FARTHEST_MM = 60.0
_THINNEST_MM = 0.15


def tints(finish: Finish) -> list[Table]:
    """The colour of light per channel by how far it went, 1 being the middling way, up to 4."""
    return [Table(_power(max(channel, _DARKEST)), 4.0, 512) for channel in finish.colour]


def absorbed(colour: float) -> np.float32:
    """How strongly a dye of one channel's colour absorbs over one reach of way: an exponent."""
    return np.float32(-0.45 * math.log(max(colour, _DARKEST)))


def _power(base: float) -> Callable[[float], float]:
    return lambda power: float(base**power)


def thickness(body: Body, camera: Camera, points: Points) -> Floats:
    """Plastic behind each point in mm along the line of sight, up to where the line first leaves it."""
    column, row, depth = camera.project(body.x, body.y, body.z)
    hits = nearest(column, row, depth, body.corners, points.columns, points.rows, 1)
    far = np.zeros(points.columns * points.rows, np.float32)
    far[hits.pixel] = hits.depth
    thick: Floats = np.maximum(far.take(points.pixel) - points.depth, np.float32(_THINNEST_MM))
    return thick


def glow(
    points: Points, lamps: list[tuple[LightMap, float]], thick: Floats, reach_mm: float, colours: list[Table]
) -> list[Floats]:
    """Light per channel, of `colours` by its way, that lamps (with their power) send through the inside.

    Two parts: single scattering at one place along the bent line of sight, the place differing within the
    pixels' pattern; and what crosses the body and leaves it on the side turned away from the lamp.
    """
    depth = np.float32(1 / reach_mm)
    inward = _refracted(points)
    span = np.minimum(thick, np.float32(3 * reach_mm))
    total = [np.zeros(len(points.pixel), np.float32) for _ in colours]
    # Shifts of up to half a cell, evened out over the pattern, hide the steps of the light maps.
    shift_x = (points.cell % 4).astype(np.float32) * np.float32(0.25) - np.float32(0.375)
    shift_y = (points.cell // 4).astype(np.float32) * np.float32(0.25) - np.float32(0.375)
    for number, (lamp, power) in enumerate(lamps):
        turn = ((points.cell * 7 + 8 * number) % 16).astype(np.float32)
        way_out = span * ((turn + np.float32(0.5)) * np.float32(1 / 16))
        way_in = lamp.depth(points.point + inward * way_out[:, None], shift_x, shift_y)
        way = (way_out + np.clip(way_in, np.float32(0.02), np.float32(_FARTHEST_MM))) * depth
        strength = FADE(way) * (span * depth * np.float32(power))
        for channel, tint in enumerate(colours):
            total[channel] += tint(np.float32(0.45) + way * np.float32(0.75)) * strength
        away = np.clip(-dot(points.normal, lamp.toward), NONE, ALL)
        crossed = np.maximum(lamp.depth(points.point, shift_y, shift_x), NONE) * depth
        strength = FADE(crossed * np.float32(0.8)) * ramp(away, 0.05, 0.95) * np.float32(1.6 * power)
        for channel, tint in enumerate(colours):
            total[channel] += tint(np.float32(0.4) + crossed * np.float32(0.6)) * strength
    return total


def _refracted(points: Points) -> Floats:
    """Directions of sight bent into the plastic (Snell)."""
    ratio = np.float32(1 / REFRACTION)
    slope = np.clip(-dot(points.normal, points.ray), np.float32(0.05), ALL)
    bend = ratio * slope - np.sqrt(1 - ratio * ratio * (1 - slope * slope))
    return normalised(ratio * points.ray + bend[:, None] * points.normal)
