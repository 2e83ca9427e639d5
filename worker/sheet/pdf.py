"""`sheet.pdf`, on one screen."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from typing import Any

from worker.checks.subject import Subject
from worker.picture import finish_from_request
from worker.picture.scene import draw, prepare
from worker.sheet.pages import PICTURE, first_page, second_page
from worker.sheet.paper import Paper
from worker.solid.solid import Solid
from worker.values.cautions import bench_cautions

DOTS = 10
"""Pixels of the picture in a millimetre of paper."""


def sheet_pdf(subject: Subject, solid: Solid, numbers: Mapping[str, Any]) -> bytes:
    """The bench sheet of a bait with the answer's `numbers`; the same bytes for the same request."""
    normal = subject.request.normal
    paper = Paper(normal["sheet"]["paper"], normal["sheet"]["title"])
    first_page(paper, subject, numbers, _picture(solid, normal))
    paper.turn()
    second_page(paper, normal, numbers["metrics"], mould_rows(numbers["metrics"]), bench_cautions(normal))
    return paper.finished()


def _picture(solid: Solid, normal: Mapping[str, Any]) -> bytes:
    """The bait at an angle, as JPEG: its dark and its light tell the shape without colours too."""
    prepared = prepare(solid.vertices, solid.triangles, finish_from_request(normal["finish"]))
    width, height = (round(DOTS * side) for side in PICTURE)
    stream = io.BytesIO()
    draw(prepared, width=width, height=height).convert("RGB").save(stream, "JPEG", quality=90, subsampling=0)
    return stream.getvalue()


def mould_rows(metrics: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """What the shot knows of the mould, and what of it is assumed."""
    shot = metrics["shot"]
    yield (
        "Cavity",
        f"{shot['cavities']} of {shot['cavity_mm3'] / 1000:.3g} cm3, {shot['cavity_scale']:.4f} times the bait",
    )
    yield "Channels", f"{shot['channels_mm3'] / 1000:.3g} cm3 with the sprue"
    for sentence in shot["assumed"]:
        yield "Assumed", sentence
