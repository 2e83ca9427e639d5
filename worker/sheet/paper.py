"""The sheet's paper: millimetres from the upper left corner, ink on white, one typeface that is carried in the file.

Nothing is compressed but the picture, because what a compressor makes of equal bytes changes with its version; dates
and identifiers are left out (`invariant`). The typeface is Bitstream Vera, which reportlab brings with it.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from functools import cache

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from worker.strands.roots import Array

POINTS = 72 / 25.4
SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height of each paper, mm (ISO 216; ANSI Y14.1)."""
FACES = {"plain": "Vera", "bold": "VeraBd", "italic": "VeraIt"}
MARGIN = 14.0
LINE = 1.32
"""From one line to the next, over the letters' size."""

Face = str


class Paper:
    """Pages under way; every place in mm from the left and from the top, sizes of letters in points.

    `factor` makes all letters smaller that are written after it is set; `lowest` is how far down words stand so far.
    """

    def __init__(self, paper: str, title: str, factor: float = 1.0) -> None:
        _register()
        self.factor, self.lowest = factor, 0.0
        self.width, self.height = SIZES[paper]
        self._stream = io.BytesIO()
        size = (self.width * POINTS, self.height * POINTS)
        self._canvas = Canvas(self._stream, pagesize=size, pageCompression=0, invariant=1)
        self._canvas.setTitle(title)
        self._canvas.setCreator("Pourwright")

    @property
    def right(self) -> float:
        """Where the margin on the right begins."""
        return self.width - MARGIN

    @property
    def bottom(self) -> float:
        """Where the margin at the bottom begins."""
        return self.height - MARGIN

    def turn(self) -> None:
        """On to the next page."""
        self._canvas.showPage()

    def finished(self) -> bytes:
        """The document."""
        self._canvas.showPage()
        self._canvas.save()
        return self._stream.getvalue()

    def write(
        self,
        x: float,
        y: float,
        text: str,
        size: float = 8,
        face: Face = "plain",
        anchor: str = "start",
        grey: float = 0,
    ) -> None:
        """One line of words whose base line is at `y`; `grey` from 0, black, to 1."""
        self._canvas.setFont(FACES[face], size * self.factor)
        self.lowest = max(self.lowest, y)
        self._canvas.setFillGray(grey)
        draw = {
            "start": self._canvas.drawString,
            "middle": self._canvas.drawCentredString,
            "end": self._canvas.drawRightString,
        }
        draw[anchor](x * POINTS, (self.height - y) * POINTS, text)

    def paragraph(self, x: float, y: float, width: float, text: str, size: float = 8, face: Face = "plain") -> float:
        """Lines of words, the first one's base line at `y`; gives the base line of what would follow."""
        for line in wrapped(text, width, size * self.factor, face):
            self.write(x, y, line, size, face)
            y += self.step(size)
        return y

    def step(self, size: float) -> float:
        """mm from one line of letters of this size to the next."""
        return size * self.factor * LINE / POINTS

    def across(self, text: str, size: float, face: Face = "plain") -> float:
        """mm that a line of words takes."""
        return across(text, size * self.factor, face)

    def fitted(self, text: str, width: float, size: float, face: Face = "plain") -> float:
        """`size`, or what is left of it so that a line of words takes no more than `width` mm."""
        return size * min(1.0, width / max(self.across(text, size, face), 1e-9))

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float = 0.2, dash: Sequence[float] = ()) -> None:
        """A line `width` mm thick; `dash` in mm."""
        self._pen(width, dash)
        self._canvas.line(x1 * POINTS, (self.height - y1) * POINTS, x2 * POINTS, (self.height - y2) * POINTS)

    def box(
        self, x: float, y: float, width: float, height: float, fill: float | None = None, edge: float = 0.2
    ) -> None:
        """A rectangle whose upper left corner is at (`x`, `y`); `fill` a grey; without an edge where `edge` is 0."""
        self._pen(edge or 0.1, ())
        self._canvas.setFillGray(1 if fill is None else fill)
        place = (x * POINTS, (self.height - y - height) * POINTS, width * POINTS, height * POINTS)
        self._canvas.rect(*place, stroke=int(edge > 0), fill=int(fill is not None))

    def loops(self, loops: Iterable[Array], fill: float | None, width: float = 0.2, dash: Sequence[float] = ()) -> None:
        """Closed loops, (n, 2) mm, filled each for itself, their edges drawn under the filling of all of them."""
        drawn = [self._points(loop) for loop in loops]
        if fill is not None:
            # First twice as thick a line round each, then the filling, which leaves only what is outside of all.
            self._outlines(drawn, 2 * width, dash)
            self._canvas.setFillGray(fill)
            for points in drawn:
                self._canvas.drawPath(_path(self._canvas, points), stroke=0, fill=1)
        else:
            self._outlines(drawn, width, dash)

    def lines(self, lines: Iterable[Array], width: float = 0.2, dash: Sequence[float] = ()) -> None:
        """Open lines through points, (n, 2) mm."""
        self._pen(width, dash)
        for each in lines:
            path = _path(self._canvas, self._points(each), closed=False)
            self._canvas.drawPath(path, stroke=1, fill=0)

    def _points(self, line: Array) -> list[tuple[float, float]]:
        return [(round(x * POINTS, 2), round((self.height - y) * POINTS, 2)) for x, y in line.tolist()]

    def _outlines(self, drawn: list[list[tuple[float, float]]], width: float, dash: Sequence[float]) -> None:
        self._pen(width, dash)
        for points in drawn:
            self._canvas.drawPath(_path(self._canvas, points), stroke=1, fill=0)

    def picture(self, x: float, y: float, width: float, height: float, jpeg: bytes) -> None:
        """A JPEG, upper left corner at (`x`, `y`)."""
        place = (x * POINTS, (self.height - y - height) * POINTS, width * POINTS, height * POINTS)
        self._canvas.drawImage(ImageReader(io.BytesIO(jpeg)), *place)

    def _pen(self, width: float, dash: Sequence[float]) -> None:
        self._canvas.setStrokeGray(0)
        self._canvas.setLineWidth(width * POINTS)
        self._canvas.setLineJoin(1)
        self._canvas.setDash([part * POINTS for part in dash])


def _path(canvas: Canvas, points: Sequence[tuple[float, float]], closed: bool = True):  # type: ignore[no-untyped-def]
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if closed:
        path.close()
    return path


@cache
def _register() -> None:
    for name in FACES.values():
        pdfmetrics.registerFont(TTFont(name, f"{name}.ttf"))


def across(text: str, size: float, face: Face = "plain") -> float:
    """mm that a line of words takes."""
    _register()
    return float(pdfmetrics.stringWidth(text, FACES[face], size)) / POINTS


_UNIT = re.compile(r" (?=(?:°|%|mm|mL|cm3|kgf|MPa|[Nsg]\b))")
"""The space between a figure and its unit, at which no line ends."""


def wrapped(text: str, width: float, size: float, face: Face = "plain") -> list[str]:
    """The lines that a text takes in `width` mm; a word that is longer than that is broken."""
    lines: list[str] = []
    for word in _UNIT.sub("\u00a0", " ".join(text.split())).split(" "):
        while across(word, size, face) > width and len(word) > 1:
            fits = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or across(word[:n], size, face) <= width)
            lines.append(word[:fits])
            word = word[fits:]
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and across(joined, size, face) <= width:
            lines[-1] = joined
        else:
            lines.append(word)
    return lines
