"""Numbers and letters of plain bars, each sign in a field of 3 by 5: raised in a sunk plate, flush with the face."""

from __future__ import annotations

from worker.mould.board import Place
from worker.solid.shapes import Mesh, box

BAR, SUNK = 0.8, 0.6
"""Width of a bar and depth of the plate, mm."""
WIDE, HIGH, EDGE = 3.0, 5.0, 0.8
"""Of a sign, and of the plate around it, mm."""

# Bars as in a counting display: top, upper left, upper right, middle, lower left, lower right, bottom.
_BARS = {
    "0": "tlrLRb",
    "1": "rR",
    "2": "trmLb",
    "3": "trmRb",
    "4": "lrmR",
    "5": "tlmRb",
    "6": "tlmLRb",
    "7": "trR",
    "8": "tlrmLRb",
    "9": "tlrmRb",
    "R": "tlrmLx",
}


def plate(text: str, at: Place) -> tuple[Mesh, list[Mesh]]:
    """The plate that is sunk into the face around `at`, and the bars that stand in it."""
    width, height = size(text)
    x, y = at[0] - width / 2, at[1] - height / 2
    sunk = box((x, y, -SUNK), (x + width, y + height, 1.0))
    bars = []
    for place, sign in enumerate(text):
        left = x + EDGE + place * (WIDE + BAR)
        bars += [_bar(bar, left, y + EDGE) for bar in _BARS[sign]]
    return sunk, bars


def size(text: str) -> tuple[float, float]:
    """Width and height of a plate, mm."""
    return len(text) * (WIDE + BAR) - BAR + 2 * EDGE, HIGH + 2 * EDGE


def _bar(bar: str, left: float, low: float) -> Mesh:
    middle, right, top = low + (HIGH - BAR) / 2, left + WIDE, low + HIGH
    x0, y0, x1, y1 = {
        "t": (left, top - BAR, right, top),
        "m": (left, middle, right, middle + BAR),
        "b": (left, low, right, low + BAR),
        "l": (left, middle, left + BAR, top),
        "r": (right - BAR, middle, right, top),
        "L": (left, low, left + BAR, middle + BAR),
        "R": (right - BAR, low, right, middle + BAR),
        "x": (left + 1.3, low, left + 1.3 + BAR, middle + BAR),
    }[bar]
    # Half a bar's depth into the mould below, so that no face of the one lies in a face of the other.
    return box((x0, y0, -SUNK - 0.3), (x1, y1, -0.05))
