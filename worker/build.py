"""A build: request -> strands -> solid -> measures -> checks -> files, on one screen."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from worker.bench import bench_figures
from worker.checks.all import check_all
from worker.checks.subject import Subject
from worker.cutting import Sections, checked_with_cuts, figures_of_cuts, sections_of
from worker.figures import body_figures, metrics_of
from worker.files.writers import write_files
from worker.holes import checked_for_holes
from worker.master.figures import printed_figures
from worker.mould import mould_of
from worker.mould.checks import check_mould
from worker.mould.told import mould_figures
from worker.request import Request
from worker.solid.join import joined
from worker.solid.master import master_of
from worker.solid.solid import Solid
from worker.values.cautions import cautions_of
from worker.values.shrinkage import master_scale

Result = TypeVar("Result")


@dataclass(frozen=True)
class Built:
    """All of a bait that can be served; `timings` in ms by step."""

    metrics: dict[str, Any]
    checks: list[dict[str, Any]]
    cautions: list[str]
    files: dict[str, bytes]
    timings: dict[str, float]


def build(request: Request) -> Built:
    """The bait of a request. Raises BuildFailed."""
    clock = _Clock()
    subject = Subject(request)
    solid = clock.timed("solid", lambda: joined(subject.strands, request.tolerance, subject.hollows))
    metrics = clock.timed("measures", lambda: _measured(subject, solid))
    sections = clock.timed("cuts", lambda: sections_of(subject, solid))
    metrics.update(figures_of_cuts(subject, sections))
    checks = clock.timed("checks", lambda: _checked(subject, sections, solid))
    mould = clock.timed("mould", lambda: mould_of(subject, solid))
    if mould is not None:
        metrics["mould"] = mould_figures(mould)
        checks += [answer.describe() for answer in check_mould(subject, mould)]
    metrics |= bench_figures(subject, metrics, None if mould is None else mould.figures)
    master = clock.timed("master", lambda: _master(subject.request, solid))
    if master is not None:
        metrics["master"] |= printed_figures(subject, master.vertices, master.triangles, master.volume)
    cautions = cautions_of(request.normal)
    numbers = {"metrics": metrics, "checks": checks, "cautions": cautions}
    files = clock.timed("files", lambda: write_files(subject, solid, numbers, mould, master))
    return Built(metrics, checks, cautions, files, clock.timings)


def _master(request: Request, solid: Solid) -> Solid | None:
    if "master" not in request.outputs:
        return None
    return master_of(solid, master_scale(request.normal), request.normal["print"])


def _measured(subject: Subject, solid: Solid) -> dict[str, Any]:
    return {**metrics_of(subject, _built_body(subject, solid)), **_of_the_mesh(solid)}


def _built_body(subject: Subject, solid: Solid) -> dict[str, Any]:
    """The body's figures by its mesh, but for its skin, width and height, which are those of its outlines.

    Rings that keep a section's area reach beyond it by up to the tolerance on either side, and are longer around by a
    share of pi^2 / (6 n^2) with n corners: at a coarse tolerance a bait of thin parts would be 1 % wider and have 1 %
    more skin than at a fine one, and one of deep gaps 4 %.
    """
    size = subject.size
    return body_figures(
        length=solid.extent[0],
        width=size.max_width,
        height=size.max_height,
        volume=solid.volume,
        surface=size.surface,
        pieces=len(solid.parts),
    )


def _checked(subject: Subject, sections: Sections | None, solid: Solid) -> list[dict[str, Any]]:
    answers = checked_for_holes(subject, check_all(subject), solid)
    return [answer.describe() for answer in checked_with_cuts(subject, answers, sections)]


def _of_the_mesh(solid: Solid) -> dict[str, Any]:
    return {"triangles": len(solid.triangles), "through_holes": solid.through_holes}


class _Clock:
    """Milliseconds by step, for the answer's `timings`; they reach no file."""

    def __init__(self) -> None:
        self.timings: dict[str, float] = {}

    def timed(self, step: str, work: Callable[[], Result]) -> Result:
        """Does `work` and keeps how long it took."""
        begin = time.perf_counter()
        result = work()
        self.timings[step] = round((time.perf_counter() - begin) * 1000, 3)
        return result
