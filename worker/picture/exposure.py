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


def exposed(camera: Camera, points: Points, shading: Shading, finish: Finish) -> list[Floats]:
    """The plastic's light in each of the finish's colours, (3, cells), as strong as the film wants it."""
    factors = _factors(camera, points, shading, finish)
    return [light * np.array(factor, np.float32)[:, None] for light, factor in zip(shading.light, factors, strict=True)]


def _factors(camera: Camera, points: Points, shading: Shading, finish: Finish) -> list[list[float]]:
    """Factors per channel that bring the median of the lit plastic, with its sheen, to each of the finish's colours."""
    lit = np.flatnonzero(shading.lit.take(points.pixel) > np.float32(_LIT))
    chosen = lit if len(lit) else np.arange(len(points.pixel))
    probes = chosen[:: max(1, len(chosen) // _PROBES)]
    normal, ray = points.normal.take(probes, axis=0), points.ray.take(probes, axis=0)
    slope = np.clip(-dot(normal, ray), np.float32(0.02), ALL)
    sheen = float(np.median(mirrored(slope) * radiance(camera, reflected(ray, normal, slope))))
    pixel = points.pixel.take(chosen)
    return [
        [
            min(
                _STRONGEST,
                max(0.0, _untoned(min(colour, _BRIGHTEST)) - sheen) / max(float(np.median(channel.take(pixel))), 1e-4),
            )
            for colour, channel in zip(each.colour, light, strict=True)
        ]
        for each, light in zip(finish.each, shading.light, strict=True)
    ]


def _untoned(value: float) -> float:
    """The light that the film's curve turns into a value."""
    if value <= _KNEE:
        return value
    part = (value - _KNEE) / (1 - _KNEE)
    return _KNEE + (1 - _KNEE) * part / (1 - part)
