"""The bait's light set over its shadow and the background."""

from __future__ import annotations

import numpy as np
from PIL import Image

from worker.picture.camera import Camera
from worker.picture.colour import Triple, bytes_from_linear, linear_from_hex
from worker.picture.finish import Finish
from worker.picture.lie import Laminate
from worker.picture.vector import ALL, NONE, Floats

BACKGROUNDS = ("white", "paper", "dark", "transparent")

PAPER = "#fbfaf5"
"""The paper of a sheet."""

_DARK = ((0.006, 0.030), (0.007, 0.034), (0.009, 0.040))
"""Light of the dark ground per channel: at the rim, and what comes on top of it behind the bait."""

_SHINING = 1.6
"""How much more a fluorescent plastic tints its shadow."""

_SPILL = 0.40
"""Share of the shadow's missing light that a clear white plastic lets through."""


def picture(
    camera: Camera, light: Floats, cover: Floats, shadow: Floats, finish: Finish, background: str
) -> Image.Image:
    """The finished picture: RGB, or RGBA on a transparent background.

    `light` and `cover` are those of the window, `shadow` the ground's missing light over the whole frame.
    """
    window = slice(camera.top, camera.top + camera.rows), slice(camera.left, camera.left + camera.columns)
    hidden = np.zeros((camera.height, camera.width), np.float32)
    hidden[window] = cover.reshape(camera.rows, camera.columns)
    dim = shadow * (1 - hidden)
    bait = light.reshape(3, camera.rows, camera.columns)
    if background == "transparent":
        return _cut_out(hidden + dim, dim, bait, window, _spill(finish))
    image = np.empty((camera.height, camera.width, 3), np.uint8)
    for channel, (ground, spill) in enumerate(zip(_ground(camera, background), _spill(finish), strict=True)):
        value = ground * (1 - hidden - dim * np.float32(1 - spill))
        value[window] += bait[channel]
        image[..., channel] = bytes_from_linear(value)
    return Image.fromarray(image)


def _cut_out(alpha: Floats, dim: Floats, bait: Floats, window: tuple[slice, slice], spill: Triple) -> Image.Image:
    """Bait and shadow with an alpha channel, not multiplied into the colours (as PNG wants it)."""
    image = np.empty((*alpha.shape, 4), np.uint8)
    inverse: Floats = np.divide(ALL, np.maximum(alpha, np.float32(1e-4)))
    for channel in range(3):
        value = dim * np.float32(spill[channel])
        value[window] += bait[channel]
        image[..., channel] = bytes_from_linear(value * inverse)
    image[..., 3] = (alpha * np.float32(255) + np.float32(0.5)).astype(np.uint8)
    image[image[..., 3] == 0] = 0
    return Image.fromarray(image)


def _spill(finish: Finish) -> Triple:
    """The light that reaches the shadow through the plastic."""
    lowest = finish.each[-1] if isinstance(finish.lie, Laminate) else finish
    share = min(1.0, _SPILL * lowest.clarity * (_SHINING if finish.fluorescent else 1.0))
    red, green, blue = (share * channel for channel in lowest.colour)
    return red, green, blue


def _ground(camera: Camera, name: str) -> list[Floats]:
    """Light of the ground per channel: plain white or paper, or a dark one, a little lighter behind the bait."""
    if name == "white":
        return [np.ones((1, 1), np.float32)] * 3
    if name == "paper":
        return [np.full((1, 1), np.float32(channel)) for channel in linear_from_hex(PAPER)]
    row = np.arange(camera.height, dtype=np.float32)[:, None] * np.float32(1 / camera.height) - np.float32(0.5)
    column = np.arange(camera.width, dtype=np.float32)[None, :] * np.float32(1 / camera.width) - np.float32(0.5)
    pool = np.maximum(1 - np.float32(2.2) * (row * row + column * column), NONE)
    return [np.float32(rim) + np.float32(middle) * pool * pool for rim, middle in _DARK]
