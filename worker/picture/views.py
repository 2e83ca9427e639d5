"""The sheet of four views: one column at one scale, nose left, with a bench rule.

The view from above stands over the one from the side as in third-angle projection (ISO 5456-2): what lies at one place
along the bait lies in one column of the sheet. The view from the nose and the one at an angle follow at the same scale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageChops, ImageDraw

from worker.picture.backdrop import PAPER
from worker.picture.bench_rule import HEIGHT, INCH, NUMBERS, UNITS, bench_rule, rule_length
from worker.picture.camera import VIEWS, extent
from worker.picture.lettering import width_of, write
from worker.picture.scene import Prepared, draw
from worker.picture.thumbnails import png_bytes

INK, FAINT = "#23291f", "#c4c7b6"

LARGEST, CLOSEST = 960, 12.0
"""Pixels that the largest view may take, and the greatest scale in pixels per mm, which short baits get."""

MARGIN, GUTTER = 44, 32
"""Pixels free around the sheet, and from there to the noses' ends; the rule's units stand in the gutter."""

_SHADOW, _LONGEST_SHADOW = 1.5, 320
"""How far a shadow reaches beyond the silhouette, over the bait's height, and how many pixels of it are drawn."""

_TEXT, _ROW, _GAP = 20, 40, 42
"""Pixels of the words over a view: their size, from their top to the view's; from a view to the next one's words."""


@dataclass(frozen=True)
class _Part:
    """One row of the sheet: words, and under them a picture whose silhouette has `air` pixels around it."""

    words: str
    image: Image.Image
    air: int

    @property
    def width(self) -> int:
        """Pixels of the silhouette across."""
        return self.image.width - 2 * self.air

    @property
    def height(self) -> int:
        """Pixels of the silhouette, upright."""
        return self.image.height - 2 * self.air


def views(prepared: Prepared, *, shrunk: int = 1) -> dict[str, bytes]:
    """`views.png` of a prepared bait, its scale divided by `shrunk`."""
    return {"views.png": png_bytes(sheet(prepared, shrunk))}


def sheet(prepared: Prepared, shrunk: int = 1) -> Image.Image:
    """The four views of a prepared bait under each other."""
    length, width, height = prepared.body.size
    scale = scale_of(prepared, shrunk)
    air = min(_LONGEST_SHADOW, round(_SHADOW * height * scale) + 16)
    flat = [
        _view(prepared, "top", f"From above: {_sized(width)} wide", scale, air),
        _view(prepared, "side", f"From the side: {_sized(length)} long, {_sized(height)} high", scale, air),
    ]
    rest = [
        _view(prepared, "front", "From the nose", scale, air),
        _view(prepared, "three_quarter", "At an angle", scale, air),
    ]
    rule = bench_rule(rule_length(length), scale, PAPER, INK)
    parts = flat + rest
    column = max(rule.width, *(part.width for part in parts), *(width_of(part.words, _TEXT) for part in parts))
    tall = sum(_ROW + part.height + _GAP for part in parts) + HEIGHT + _GAP // 2
    page = Image.new("RGB", (column + GUTTER + 2 * MARGIN, tall + 2 * MARGIN), PAPER)
    row = MARGIN
    tops = {}
    for part in parts:
        tops[part.words] = row
        row += _ROW + part.height + _GAP
        _lay(page, part, MARGIN + GUTTER, row - _GAP - part.height)
        if part is flat[-1]:
            rule_top = row - _GAP // 2
            row += HEIGHT + _GAP // 2
    # Words, rule and threads lie over the shadows, whose frames overlap.
    pen = ImageDraw.Draw(page)
    for words, top in tops.items():
        write(pen, (MARGIN, top + _TEXT), words, _TEXT, INK)
    words_of_side = tops[flat[1].words]
    for end in (0, round(length * scale) - 1):
        _thread(pen, MARGIN + GUTTER + end, MARGIN + _ROW, words_of_side - 4)
        _thread(pen, MARGIN + GUTTER + end, words_of_side + _TEXT + 8, rule_top)
    page.paste(rule, (MARGIN + GUTTER, rule_top))
    for unit, down in UNITS:
        write(pen, (MARGIN, rule_top + down), unit, NUMBERS, INK)
    return page


def scale_of(prepared: Prepared, shrunk: int = 1) -> float:
    """Pixels per mm at which the largest view just fits; the bait's length is a whole number of pixels."""
    length = prepared.body.size[0]
    largest = max(side for view in VIEWS for side in _span(prepared, view))
    return max(1, math.floor(min(CLOSEST, LARGEST / largest) / shrunk * length)) / length


def _span(prepared: Prepared, view: str) -> tuple[float, float]:
    x0, x1, y0, y1 = extent(prepared.body, view)
    return x1 - x0, y1 - y0


def _view(prepared: Prepared, view: str, words: str, scale: float, air: int) -> _Part:
    # From above and from the side the silhouette's width in pixels is whole, and its first column is number `air`.
    width, height = (2 * air + max(1, math.ceil(side * scale - 1e-3)) for side in _span(prepared, view))
    image = draw(prepared, view=view, width=width, height=height, background="paper", pixels_per_mm=scale)
    return _Part(words, image, air)


def _lay(page: Image.Image, part: _Part, left: int, top: int) -> None:
    """Lays a part's silhouette at (`left`, `top`); where its frame meets another's, the deeper shadow stays."""
    x, y = left - part.air, top - part.air
    box = max(0, x), max(0, y), min(page.width, x + part.image.width), min(page.height, y + part.image.height)
    own = _faded(part).crop((box[0] - x, box[1] - y, box[2] - x, box[3] - y))
    page.paste(ImageChops.darker(page.crop(box), own), box[:2])


def _faded(part: _Part) -> Image.Image:
    """The picture with its shadow run out before the frame's edge, wherever it would reach."""
    width, height = part.image.size
    across, down = (np.minimum(np.arange(size), np.arange(size)[::-1]) for size in (width, height))
    apart = np.minimum(across[None, :], down[:, None])
    mask = np.minimum(255 * apart // max(1, part.air * 2 // 3), 255).astype(np.uint8)
    return Image.composite(part.image, Image.new("RGB", part.image.size, PAPER), Image.fromarray(mask))


def _thread(pen: ImageDraw.ImageDraw, column: int, first: int, last: int) -> None:
    """A dotted line that shows which places of the two views and the rule belong together."""
    for row in range(first, last, 6):
        pen.line((column, row, column, min(row + 2, last)), fill=FAINT)


def _sized(millimetres: float) -> str:
    return f"{millimetres:.1f} mm ({millimetres / INCH:.2f} in)"
