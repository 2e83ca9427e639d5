"""What the plates with numbers cut out of a half."""

from __future__ import annotations

from collections.abc import Sequence

from worker.mould.board import Place
from worker.mould.marks import plate
from worker.solid.carve import Cutter, cutter


def numbers(plates: Sequence[tuple[str, Place]]) -> Cutter:
    """The sunk plates, without the bars that stand in them. Raises GeometryFailed."""
    made = [plate(text, at) for text, at in plates]
    sunk = cutter([each for each, _ in made])
    bars = [bar for _, bars in made for bar in bars]
    return sunk.less(cutter(bars)) if bars else sunk
