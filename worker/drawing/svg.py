"""Pieces of an SVG drawing as text: numbers, outlines, words, and the one style sheet.

Nothing in a drawing runs, and nothing is fetched: it may be shown as a picture anywhere. It brings its own paper, so
that its ink is readable whatever it lies on, and turns dark where the reader's device is.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape

import numpy as np

from worker.strands.roots import Array

LOOSE = 0.12
"""Pixels by which an outline may run beside a point that is left out."""
_PASSES = 5

STYLE = """
text{font-family:Georgia,"Times New Roman",serif;font-size:13px;fill:#23291f}
.head{font-size:15px}.value{font-size:14px;font-weight:bold}.note,.foot{font-size:11.5px;font-style:italic;fill:#565c4d}
.size{font-size:12.5px;fill:#8a3310;stroke:#fbfaf5;stroke-width:4px;stroke-linejoin:round;paint-order:stroke}
.paper{fill:#fbfaf5}
.bait{fill:#dfe3cb;stroke:#23291f;stroke-width:2px;stroke-linejoin:round;paint-order:stroke}
.was{fill:#fbfaf5;stroke:#777d6b;stroke-width:2px;stroke-dasharray:4 3;paint-order:stroke}
.hollow{fill:none;stroke:#23291f;stroke-width:1.1px;stroke-dasharray:3 2}
.line{fill:none;stroke:#8a3310;stroke-width:1px}.tip{fill:#8a3310}
.frame{fill:none;stroke:#8a3310;stroke-width:1.4px}.edge{fill:none;stroke:#b9bda9;stroke-width:1px}
.rule{fill:none;stroke:#23291f;stroke-width:1.2px}
@media (prefers-color-scheme:dark){
text{fill:#e6e6da}.note,.foot{fill:#a9ad9c}.size{fill:#f0a987;stroke:#191c17}.paper{fill:#191c17}
.bait{fill:#39412f;stroke:#e6e6da}.was{fill:#191c17;stroke:#8d937f}.hollow{stroke:#e6e6da}
.line,.frame{stroke:#f0a987}.tip{fill:#f0a987}.edge{stroke:#454b3f}.rule{stroke:#e6e6da}}
"""


def document(width: float, height: float, title: str, body: Iterable[str], style: str = STYLE) -> str:
    """A whole drawing of so many pixels; `style` is its sheet."""
    size = f'width="{number(width)}" height="{number(height)}" viewBox="0 0 {number(width)} {number(height)}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" role="img" {size}>\n<title>{escape(title)}</title>'
    paper = f'<rect class="paper" width="{number(width)}" height="{number(height)}"/>'
    return "\n".join([head, f"<style>{style}</style>", paper, *body, "</svg>", ""])


def number(value: float) -> str:
    """A length in pixels, to a tenth."""
    return f"{round(float(value), 1) + 0.0:g}"


def words(x: float, y: float, text: str, kind: str, anchor: str = "start") -> str:
    """A line of text; `kind` is its class."""
    at = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text class="{kind}" x="{number(x)}" y="{number(y)}"{at}>{escape(text)}</text>'


def line(points: Array, kind: str = "line") -> str:
    """An open line through points in pixels, (n, 2)."""
    return f'<path class="{kind}" d="M{_joined(np.round(points, 1))}"/>'


def outline(loops: Iterable[Array]) -> str:
    """Closed loops in pixels as one path without a class: the group around it says what it looks like."""
    drawn = (np.round(thinned(loop), 1) for loop in loops)
    return f'<path d="{"".join(f"M{_joined(loop)}Z" for loop in drawn if len(loop) > 2)}"/>'


def trace(lines: Iterable[Array]) -> str:
    """Open lines in pixels as one path without a class."""
    return f'<path d="{"".join(f"M{_joined(np.round(each, 1))}" for each in lines)}"/>'


def group(kind: str, parts: Iterable[str], **attributes: str) -> str:
    """Parts that look alike."""
    more = "".join(f' {name}="{value}"' for name, value in attributes.items())
    return f'<g class="{kind}"{more}>{"".join(parts)}</g>'


def thinned(loop: Array) -> Array:
    """A loop without the points that a straight edge passes closely anyway."""
    for turn in range(_PASSES):
        if len(loop) < 8:
            return loop
        before, after = np.roll(loop, 1, axis=0), np.roll(loop, -1, axis=0)
        way, off = after - before, loop - before
        length = np.maximum(np.sqrt(way[:, 0] * way[:, 0] + way[:, 1] * way[:, 1]), 1e-9)
        beside = np.abs(way[:, 0] * off[:, 1] - way[:, 1] * off[:, 0]) / length
        ahead = (way[:, 0] * off[:, 0] + way[:, 1] * off[:, 1]) / length
        close = (beside < LOOSE) & (ahead > -LOOSE) & (ahead < length + LOOSE)
        # Every other point only: of two neighbours that both lie close, one has to stay.
        close[turn % 2 :: 2] = False
        loop = loop[~close]
    return loop


def _joined(points: Array) -> str:
    fresh = np.concatenate([[True], (np.abs(np.diff(points, axis=0)) > 0.04).any(axis=1)])
    return "L".join(f"{number(x)} {number(y)}" for x, y in points[fresh].tolist())
