"""Exposure and the film's curve: the lit plastic's middle tone is the colour that was asked for."""

from __future__ import annotations

import numpy as np

from worker.picture.camera import Camera
from worker.picture.finish import Finish
from worker.picture.plastic import Shading
from worker.picture.studio import mirrored, radiance
from worker.picture.surface import Points
from worker.picture.vector import ALL, NONE, Floats, dot, reflected

_KNEE = 0.70
"""Light up to here stays as it is; above, it nears white without reaching it."""

_BRIGHTEST = 0.86
"""A middle tone of plain white would leave no room for a highlight; this is still white to the eye (L* 94)."""

_LIT = 0.04
"""A point is lit when the main lamp gives it this share of its full light."""

_STRONGEST = 4.0
"""Bound on the factor, for baits that hardly any light falls on."""

_PROBES = 3000


def toned(light: Floats) -> Floats:
    """Linear light after the film's shoulder: under 1 for any light."""
    over = np.maximum(light - np.float32(_KNEE), NONE) * np.float32(1 / (1 - _KNEE))
    curved: Floats = np.minimum(light, np.float32(_KNEE)) + np.float32(1 - _KNEE) * over / (1 + over)
    return curved


def exposure(camera: Camera, points: Points, shading: Shading, finish: Finish) -> list[float]:
    """Factors per channel that bring the median of the lit plastic, with its sheen, to the finish's colour."""
    lit = np.flatnonzero(shading.lit.take(points.pixel) > np.float32(_LIT))
    chosen = lit if len(lit) else np.arange(len(points.pixel))
    probes = chosen[:: max(1, len(chosen) // _PROBES)]
    normal, ray = points.normal.take(probes, axis=0), points.ray.take(probes, axis=0)
    slope = np.clip(-dot(normal, ray), np.float32(0.02), ALL)
    sheen = float(np.median(mirrored(slope) * radiance(camera, reflected(ray, normal, slope))))
    pixel = points.pixel.take(chosen)
    factors = []
    for channel, colour in enumerate(finish.colour):
        plastic = float(np.median(shading.light[channel].take(pixel)))
        wanted = _untoned(min(colour, _BRIGHTEST)) - sheen
        factors.append(min(_STRONGEST, max(0.0, wanted) / max(plastic, 1e-4)))
    return factors


def _untoned(value: float) -> float:
    """The light that the film's curve turns into a value."""
    if value <= _KNEE:
        return value
    part = (value - _KNEE) / (1 - _KNEE)
    return _KNEE + (1 - _KNEE) * part / (1 - part)
