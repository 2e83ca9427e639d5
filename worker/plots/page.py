"""The page that the rows stand on: its look, the axis along the bait, and the frame of a row."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from worker.drawing.svg import line, number, words
from worker.plots.scales import INCH, Scale, in_inches, step_of

WIDTH = 960.0
TITLE_LETTER = 8.8
"""Pixels that a letter of a title takes across, at the most."""
NEAR = 0.02
"""A tick this far, mm, outside of the bait still stands: ends are drawn a hair inside."""
STYLE = """
text{font-family:Georgia,"Times New Roman",serif;font-size:13px;fill:#111}
.head{font-size:19px}.title{font-size:14px;font-weight:bold}.note,.tick,.unit{font-size:11.5px;fill:#333}
.note{font-style:italic}.name,.told{font-size:13px}.flagged{font-size:13px;font-weight:bold}
.paper{fill:#fff}
.bait{fill:#e4e4e4;stroke:#111;stroke-width:2px;stroke-linejoin:round;paint-order:stroke}
.hollow{fill:none;stroke:#111;stroke-width:1.1px;stroke-dasharray:3 2}
.edge{fill:none;stroke:#111;stroke-width:1px}.mesh{fill:none;stroke:#ccc;stroke-width:.8px}
.area{fill:#d4d4d4;stroke:#111;stroke-width:1px}
.range{fill:none;stroke:#111;stroke-width:1.3px}.asked{fill:none;stroke:#111;stroke-width:1.8px;stroke-dasharray:7 4}
.holds{fill:#111}.close{fill:#fff;stroke:#111;stroke-width:1.4px}.short{fill:none;stroke:#111;stroke-width:2.4px}
.updown{fill:none;stroke:#111;stroke-width:1.6px}
.sideways{fill:none;stroke:#111;stroke-width:1.6px;stroke-dasharray:2 3}
.tears{fill:none;stroke:#111;stroke-width:1px;stroke-dasharray:1 3}.flag{fill:#111}
"""
"""Ink on white: everything is told apart by its line and its mark, nothing by a colour."""


@dataclass(frozen=True)
class Along:
    """The axis along the bait, from `begin` to `end` mm at `scale` pixels per mm."""

    begin: float
    end: float
    scale: float
    left: float = 96.0

    def x(self, along: float) -> float:
        """Pixels across the page."""
        return self.left + (along - self.begin) * self.scale

    @property
    def right(self) -> float:
        """Where it ends, pixels."""
        return self.x(self.end)


@dataclass(frozen=True)
class Row:
    """One figure along the bait: `drawn` has its place from 0 to `height` pixels down."""

    title: str
    unit: str
    note: str
    height: float
    scale: Scale | None
    drawn: tuple[str, ...]


def axis(along: Along, y: float, *, above: bool) -> Iterator[str]:
    """A line with millimetres or, below the rows, inches too."""
    yield line(np.array([[along.left, y], [along.right, y]]), "edge")
    step = step_of(along.end - along.begin, max(int((along.right - along.left) / 60), 2))
    for k in range(math.ceil((along.begin - NEAR) / step), math.floor((along.end + NEAR) / step) + 1):
        yield line(np.array([[along.x(k * step), y], [along.x(k * step), y - 5]]), "edge")
        yield words(along.x(k * step), y - 8, f"{k * step:g}", "tick", "middle")
    yield words(along.left - 12, y - 6, "mm", "unit", "end")
    if above:
        return
    part = next(p for p in (0.25, 0.5, 1.0, 2.0) if p * INCH * along.scale >= 46 or p == 2.0)
    for k in range(math.ceil((along.begin - NEAR) / INCH / part), math.floor((along.end + NEAR) / INCH / part) + 1):
        yield line(np.array([[along.x(k * part * INCH), y], [along.x(k * part * INCH), y + 5]]), "edge")
        yield words(along.x(k * part * INCH), y + 17, in_inches(k * part * INCH).removesuffix(" in"), "tick", "middle")
    yield words(along.left - 12, y + 16, "inches", "unit", "end")


def framed(row: Row, along: Along, top: float) -> Iterator[str]:
    """A row with its words, its figures' ticks and what is drawn in it, from `top` pixels on."""
    title = f"{row.title}, {row.unit}"
    yield words(24, top + 12, title, "title")
    if row.note:
        yield words(24 + TITLE_LETTER * len(title), top + 12, row.note, "note")
    inner = top + 22
    if row.scale is not None:
        for value, text in row.scale.ticks:
            y = inner + row.scale.place(value)
            yield line(np.array([[along.left, y], [along.right, y]]), "mesh")
            yield words(along.left - 8, y + 4, text, "tick", "end")
    yield f'<g transform="translate(0 {number(inner)})">{"".join(row.drawn)}</g>'
    yield line(np.array([[along.left, inner + row.height], [along.right, inner + row.height]]), "edge")
