"""What a printer can do: its least wall, and what lies on its bed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import permutations
from typing import Any

from worker.values.prints import LINES, PIXELS

TURNS = 36
"""Ways round in which a print is laid on the bed, over half a turn."""
Size = tuple[float, float, float]


def least_wall(asked: Mapping[str, Any]) -> float:
    """mm: two lines of the nozzle, or ten pixels."""
    if asked["process"] == "filament":
        return LINES * float(asked["nozzle"])
    return PIXELS * float(asked["pixel"])


def master_size(asked: Mapping[str, Any], bait: Size, scale: float) -> Size:
    """Length, width and height, mm, of a master whose bait has the given ones, with its stub or its flat."""
    length, width, height = (scale * side for side in bait)
    if asked["base"] == "stub":
        across = float(asked["stub_diameter"])
        return length + float(asked["stub_length"]), max(width, across), max(height, across)
    if asked["base"] == "flat":
        return length, width, height - float(asked["flat_depth"])
    return length, width, height


def lies_on(bed: Mapping[str, Any], length: float, width: float) -> bool:
    """Whether a rectangle lies on the bed, turned as it may be."""
    for turn in range(TURNS):
        angle = math.pi * turn / TURNS
        cosine, sine = abs(math.cos(angle)), abs(math.sin(angle))
        if (
            length * cosine + width * sine <= bed["length"] + 1e-9
            and length * sine + width * cosine <= bed["width"] + 1e-9
        ):
            return True
    return False


def box_fits(bed: Mapping[str, Any], size: Size) -> bool:
    """Whether a box fits a printer, on any of its faces, turned as it may be."""
    return any(up <= bed["height"] and lies_on(bed, a, b) for a, b, up in permutations(size))


def needed_of(bed: Mapping[str, Any], size: Size) -> float:
    """The largest share of a printer's length, width or height that a box takes, laid on the best of its faces."""
    room = (bed["length"], bed["width"], bed["height"])
    sides = permutations(size)
    return float(min(max(side / free for side, free in zip(turned, room, strict=True)) for turned in sides))
