"""Pieces that a sheet is put together from: headings, rows of figures, lines to write on, a table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from worker.sheet.paper import Paper, wrapped

HEAD, BODY, SMALL = 10, 8, 6.8
"""Points of a heading, of figures, and of small print."""
BLANK = "\u2007"
"""In place of a figure: a line to write on."""

Row = tuple[str, str]


def heading(paper: Paper, x: float, y: float, width: float, text: str) -> float:
    """A heading over a line; gives where the first line below it stands."""
    paper.write(x, y, text, HEAD, "bold")
    paper.line(x, y + 1.3, x + width, y + 1.3, 0.35)
    return y + 1.3 + paper.step(BODY) + 0.6


def rows(paper: Paper, x: float, y: float, width: float, told: Iterable[Row], label: float = 0.36) -> float:
    """Names and figures, a line each or more; `label` is the names' share of the width. Gives the next line."""
    for name, figure in told:
        start = x + label * width
        paper.write(x, y, name, BODY, grey=0.25)
        if figure == BLANK:
            paper.line(start, y + 0.6, x + width, y + 0.6, 0.15)
            y += paper.step(BODY) * 1.25
            continue
        for line in wrapped(figure, (1 - label) * width, BODY * paper.factor):
            paper.write(start, y, line, BODY)
            y += paper.step(BODY)
    return y


def table(paper: Paper, x: float, y: float, widths: Sequence[float], lines: Iterable[Sequence[str]]) -> float:
    """Columns of `widths` mm, the first line in bold; an empty text gets a line to write on. Gives the next line."""
    for number, line in enumerate(lines):
        left, deepest = x, y
        for width, text in zip(widths, line, strict=True):
            if text:
                face = "bold" if number == 0 else "plain"
                deepest = max(deepest, paper.paragraph(left, y, width - 1.5, text, BODY, face))
            else:
                paper.line(left, y + 0.6, left + width - 2, y + 0.6, 0.15)
                deepest = max(deepest, y + paper.step(BODY))
            left += width
        y = deepest + 0.5
    return y
