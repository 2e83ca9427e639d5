"""What the rings of a body cannot be: too shallow to be made, or lost on a girth that swells faster than they fall."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from worker.errors import Fault
from worker.strands.girth import Girth
from worker.strands.plain import Plain
from worker.strands.rings_relief import Rings

SHALLOWEST = 0.1
"""Least depth of rings, mm: shallower ones do not show in a casting (judgement)."""
STEP = 0.05
"""By how much deeper rings are tried, mm."""


def ring_faults(pointer: str, relief: Rings | Plain, girth: Girth, length: float, deepest: float) -> Iterator[Fault]:
    """Faults of rings, or of none, on a girth along a path of `length` mm; `deepest`: what the style allows, mm."""
    if isinstance(relief, Plain):
        return
    if relief.depth < SHALLOWEST:
        detail = (
            f"Rings {relief.depth:g} mm deep do not show; from {SHALLOWEST:g} mm up they do, and 0 leaves them out."
        )
        yield Fault(pointer, "too-shallow", detail, {"minimum": SHALLOWEST, "maximum": deepest, "unit": "mm"})
        return
    if not relief.hides_one(girth, length):
        return
    steps = range(math.floor(relief.depth / STEP + 1e-9) + 1, math.floor(deepest / STEP + 1e-9) + 1)
    depths = (round(STEP * step, 4) for step in steps)
    least = next((d for d in depths if not replace(relief, depth=d).hides_one(girth, length)), None)
    detail = f"The body swells or thins so fast that rings {relief.depth:g} mm deep are lost on it; "
    detail += "taper it less, or leave the rings out." if least is None else f"at {least:g} mm they are not."
    allowed = None if least is None else {"minimum": least, "maximum": deepest, "unit": "mm"}
    yield Fault(pointer, "rings-hidden", detail, allowed)
