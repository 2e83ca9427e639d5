"""A mould half seen onto its parting face: what lies behind plastic is hatched, the deepest place has its measure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from PIL import Image, ImageDraw

from worker.picture.backdrop import PAPER
from worker.picture.bench_rule import HEIGHT, NUMBERS, UNITS, bench_rule, rule_length
from worker.picture.lettering import width_of, write
from worker.picture.plain import from_above
from worker.picture.thumbnails import png_bytes
from worker.picture.views import GUTTER, INK, MARGIN

LARGEST, CLOSEST = 720, 8.0
"""Pixels that the larger side of the half may take, and the greatest scale in pixels per mm."""
_AIR, _TEXT, _ROW = 24, 20, 40
_HATCH, _LINE = 9, 3
"""Pixels from line to line of the hatching, and a line's own."""


@dataclass(frozen=True)
class Note:
    """Words at a place of the half, mm."""

    place: tuple[float, float]
    words: str


def mould_half(
    vertices: ArrayLike,
    triangles: ArrayLike,
    title: str,
    hatched: NDArray[np.float64],
    cell: float,
    notes: Sequence[Note],
    shrunk: int = 1,
) -> bytes:
    """PNG of a closed mesh, (n, 3) mm and (m, 3), from above (+z), its length across the picture.

    `hatched` (k, 2): middles of squares of `cell` mm that are hatched. Raises GeometryFailed like `render`.
    """
    points = np.asarray(vertices, np.float64)
    low, high = points.min(axis=0), points.max(axis=0)
    length, width = (float(side) for side in (high - low)[:2])
    scale = min(CLOSEST, LARGEST / max(length, width)) / shrunk
    wide, tall = round(length * scale) + 2 * _AIR, round(width * scale) + 2 * _AIR
    image = from_above(points, triangles, wide, tall, scale)
    middle = (low + high)[:2] / 2
    image = _hatch(image, hatched - middle, cell, scale)
    rule = bench_rule(rule_length(length), scale, PAPER, INK)
    left = MARGIN + GUTTER
    words = max([title, *(note.words for note in notes)], key=lambda text: width_of(text, _TEXT))
    page_wide = max(wide + left, rule.width + left + _AIR, width_of(words, _TEXT) + MARGIN) + MARGIN
    page_tall = MARGIN + _ROW + tall + _ROW * len(notes) + HEIGHT + MARGIN
    page = Image.new("RGB", (page_wide, page_tall), PAPER)
    page.paste(image, (left, MARGIN + _ROW))
    pen = ImageDraw.Draw(page)
    write(pen, (MARGIN, MARGIN + _TEXT), title, _TEXT, INK)
    for number, note in enumerate(notes):
        x = left + wide / 2 + (note.place[0] - middle[0]) * scale
        y = MARGIN + _ROW + tall / 2 - (note.place[1] - middle[1]) * scale
        row = MARGIN + _ROW + tall + _ROW * number + _TEXT
        _lead(pen, (round(x), round(y)), (round(x), row - _TEXT))
        at = min(max(round(x) - width_of(note.words, _TEXT) // 2, MARGIN), page_wide - MARGIN - width_of(words, _TEXT))
        write(pen, (at, row), note.words, _TEXT, INK)
    rule_top = page_tall - MARGIN - HEIGHT
    page.paste(rule, (left + _AIR, rule_top))
    for unit, down in UNITS:
        write(pen, (MARGIN, rule_top + down), unit, NUMBERS, INK)
    return png_bytes(page)


def _lead(pen: ImageDraw.ImageDraw, place: tuple[int, int], to: tuple[int, int]) -> None:
    """A ring around a place and a line from it to its words."""
    x, y = place
    pen.line((x, y + 8, *to), fill=PAPER, width=4)
    pen.line((x, y + 8, *to), fill=INK, width=2)
    for size, ink in ((9, PAPER), (7, INK)):
        pen.ellipse((x - size, y - size, x + size, y + size), outline=ink, width=2)


def _hatch(image: Image.Image, squares: NDArray[np.float64], cell: float, scale: float) -> Image.Image:
    """Slanting lines over the squares, dark with a light edge, so that they read on any grey."""
    if len(squares) == 0:
        return image
    wide, tall = image.size
    mask = np.zeros((tall, wide), dtype=bool)
    half = cell * scale / 2
    columns, rows = wide / 2 + squares[:, 0] * scale, tall / 2 - squares[:, 1] * scale
    steps = np.arange(-np.ceil(half), np.ceil(half) + 1)
    for right in steps:
        for down in steps:
            i = np.clip(np.rint(rows + np.clip(down, -half, half)), 0, tall - 1).astype(np.int64)
            j = np.clip(np.rint(columns + np.clip(right, -half, half)), 0, wide - 1).astype(np.int64)
            mask[i, j] = True
    slant = np.add.outer(np.arange(tall), np.arange(wide)) % _HATCH
    pixels = np.array(image)
    pixels[mask & (slant < _LINE + 2)] = (250, 248, 240)
    pixels[mask & (slant < _LINE)] = (35, 41, 31)
    return Image.fromarray(pixels)
