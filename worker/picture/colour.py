"""Between the sRGB numbers that a request carries and the linear light that shading is done in.

The curve is that of IEC 61966-2-1.
"""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from worker.picture.vector import Floats

Triple = tuple[float, float, float]

_HEX = re.compile(r"#[0-9a-fA-F]{6}")
_STEPS = 8192


def linear_from_srgb(value: float) -> float:
    """One channel from the sRGB curve (0 to 1) to linear light (0 to 1)."""
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def srgb_from_linear(value: float) -> float:
    """One channel from linear light (0 to 1) to the sRGB curve (0 to 1)."""
    return value * 12.92 if value <= 0.0031308 else 1.055 * value ** (1 / 2.4) - 0.055


def linear_from_hex(text: str) -> Triple:
    """Linear light from "#rrggbb". Raises ValueError for anything else."""
    if not _HEX.fullmatch(text):
        raise ValueError(f"a colour is written #rrggbb, not {text!r}")
    red, green, blue = (linear_from_srgb(int(text[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return red, green, blue


def luminance(colour: Triple) -> float:
    """Relative luminance Y of linear sRGB light (IEC 61966-2-1)."""
    return 0.2126 * colour[0] + 0.7152 * colour[1] + 0.0722 * colour[2]


# Entries stand at the squares of evenly spaced numbers: the curve is steep near black, where even steps would band.
_BYTES = np.array([int(srgb_from_linear((i / _STEPS) ** 2) * 255 + 0.5) for i in range(_STEPS + 1)], np.uint8)


def bytes_from_linear(light: Floats) -> NDArray[np.uint8]:
    """Linear light, cut to 0 to 1, as sRGB bytes."""
    root = np.sqrt(np.clip(light, np.float32(0), np.float32(1)))
    return _BYTES.take((root * np.float32(_STEPS) + np.float32(0.5)).astype(np.int32))
