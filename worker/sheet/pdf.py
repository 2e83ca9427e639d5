"""`sheet.pdf`, on one screen."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from typing import Any

from worker.checks.subject import Subject
from worker.picture.scene import draw
from worker.sheet.content import mould_rows
from worker.sheet.pages import PICTURE, first_page, second_page
from worker.sheet.paper import Paper
from worker.showing import shown
from worker.solid.solid import Solid
from worker.values.cautions import bench_cautions

DOTS = 10
"""Pixels of the picture in a millimetre of paper."""
FACTORS = (1.0, 0.92, 0.85, 0.78, 0.7, 0.6)
"""Of the letters' size: smaller ones are taken where a page would not hold what is told."""


def sheet_pdf(subject: Subject, solid: Solid, numbers: Mapping[str, Any]) -> bytes:
    """The bench sheet of a bait with the answer's `numbers`; the same bytes for the same request."""
    normal = subject.request.normal
    size, title = normal["sheet"]["paper"], normal["sheet"]["title"]
    jpeg, mould, cautions = _picture(subject, solid), list(mould_rows(numbers["metrics"])), bench_cautions(normal)

    def front(paper: Paper) -> None:
        first_page(paper, subject, numbers, jpeg, cut=paper.factor == FACTORS[-1])

    def rear(paper: Paper) -> None:
        second_page(paper, normal, numbers["metrics"], mould, cautions)

    paper = Paper(size, title, _factor(front, size))
    front(paper)
    paper.turn()
    paper.factor = _factor(rear, size)
    rear(paper)
    return paper.finished()


def _factor(page: Callable[[Paper], None], size: str) -> float:
    """The largest letters with which a page holds all that stands on it: tried on paper that is thrown away."""
    for factor in FACTORS[:-1]:
        tried = Paper(size, "", factor)
        page(tried)
        if tried.lowest <= tried.bottom:
            return factor
    return FACTORS[-1]


def _picture(subject: Subject, solid: Solid) -> bytes:
    """The bait at an angle, as JPEG: its dark and its light tell the shape without colours too."""
    prepared = shown(subject, solid).prepared
    width, height = (round(DOTS * side) for side in PICTURE)
    stream = io.BytesIO()
    draw(prepared, width=width, height=height).convert("RGB").save(stream, "JPEG", quality=90, subsampling=0)
    return stream.getvalue()
