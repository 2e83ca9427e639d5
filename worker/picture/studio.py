"""The surroundings that a glossy surface mirrors: a dark studio with lamps, and how strongly it mirrors them."""

from __future__ import annotations

import math

import numpy as np

from worker.picture.camera import Camera
from worker.picture.glow import REFRACTION
from worker.picture.light import BACK, KEY
from worker.picture.vector import ALL, NONE, Floats, dot, ramp, unit

_STRAIGHT = ((REFRACTION - 1) / (REFRACTION + 1)) ** 2

_GRAZING = 0.3
"""What soft plastic mirrors of light that grazes it: a skin that is not quite even scatters the rest, where a perfect
mirror would show a dark rim. Judgement, settled by looking."""

_BOXES = (
    # direction in the picture's right, up, towards; half width and height as tangents; softness; radiance
    (KEY, 0.46, 0.24, 0.34, 17.0),
    ((0.85, 0.20, 0.45), 0.20, 0.45, 0.36, 0.6),
    (BACK, 0.75, 0.22, 0.25, 1.6),
)
"""Soft boxes: the main lamp, a strip to the right, a rim light behind."""

_STRONGER = {"dark": (1.0, 1.0, 3.2)}
"""By ground, how much stronger they are: before a dark one only the light behind parts a dark bait from it."""

_FLAG = {"white": 0.5, "transparent": 0.5, "paper": 0.34}
"""By ground, what black cards beside the frame take from the edges of plain white plastic, which would else run into a
white ground; what is cut out is mostly laid on one."""


_TOWARDS_KEY = [float(q) for q in unit(KEY)]


def mirrored(slope: Floats) -> Floats:
    """Share of light that the surface mirrors, by the cosine of the angle of sight (Schlick 1994), up to `_GRAZING`."""
    rest: Floats = 1 - slope
    square = rest * rest
    return np.float32(_STRAIGHT) + np.float32(_GRAZING - _STRAIGHT) * square * square * rest


def flagged(slope: Floats, ground: str) -> Floats | None:
    """Share of a white plastic's light that is taken towards its edges, by the cosine of the angle of sight."""
    if ground not in _FLAG:
        return None
    rest: Floats = 1 - slope
    return np.float32(_FLAG[ground]) * rest * rest


def radiance(camera: Camera, toward: Floats, ground: str = "white") -> Floats:
    """Light that comes from unit directions before a `ground`, 1 being a white surface in full light."""
    across, along, out = (dot(toward, axis) for axis in (camera.right, camera.up, camera.back))
    light: Floats = np.float32(0.05) + np.float32(0.08) * np.clip(along, NONE, ALL)
    light += np.float32(0.16) * np.clip(-along, NONE, ALL)
    wide = ramp(across * _TOWARDS_KEY[0] + along * _TOWARDS_KEY[1] + out * _TOWARDS_KEY[2], 0.4, 1.0)
    light += wide * wide * np.float32(1.3)
    stronger = _STRONGER.get(ground, (1.0, 1.0, 1.0))
    for (lamp, half_width, half_height, softness, strength), more in zip(_BOXES, stronger, strict=True):
        middle, side, over = _box_axes(lamp)
        ahead = across * middle[0] + along * middle[1] + out * middle[2]
        inverse = 1 / np.maximum(ahead, np.float32(0.05))
        x = np.abs((across * side[0] + along * side[1] + out * side[2]) * inverse)
        y = np.abs((across * over[0] + along * over[1] + out * over[2]) * inverse)
        inside = ramp(-x, -half_width - softness / 2, -half_width + softness / 2)
        inside *= ramp(-y, -half_height - softness / 2, -half_height + softness / 2)
        inside[ahead < np.float32(0.1)] = 0
        light += inside * np.float32(strength * more)
    return light


def _box_axes(lamp: tuple[float, float, float]) -> tuple[list[float], list[float], list[float]]:
    """Towards a soft box, and its level and upright directions, as Python numbers."""
    middle = [float(q) for q in unit(lamp)]
    flat = math.sqrt(middle[0] ** 2 + middle[2] ** 2)
    side = [middle[2] / flat, 0.0, -middle[0] / flat]
    over = [
        middle[1] * side[2] - middle[2] * side[1],
        middle[2] * side[0] - middle[0] * side[2],
        middle[0] * side[1] - middle[1] * side[0],
    ]
    return middle, side, over
