"""Who writes the files of each output: one function an output, one line here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from worker.checks.subject import Subject
from worker.files.glb import write_glb
from worker.files.metrics import write_metrics
from worker.files.stl import write_stl
from worker.files.threemf import write_3mf
from worker.master.picture import master_svg
from worker.mould.mould import Mould
from worker.mould.told import mould_files
from worker.picture import thumbnails, turntable, views
from worker.plots import joints_svg
from worker.request import Request
from worker.request.picture import pictured
from worker.sheet.pdf import sheet_pdf
from worker.showing import finish_of, shown
from worker.solid.solid import Solid

Files = dict[str, bytes]


def _stl(request: Request, solid: Solid) -> Files:
    return {"bait.stl": write_stl(solid.vertices, solid.triangles)}


def _3mf(request: Request, solid: Solid) -> Files:
    colour = request.normal["finish"]["colour"]
    # The label is not part of a bait's identity, so it stands in none of its files.
    return {"bait.3mf": write_3mf(solid.vertices, solid.triangles, colour=colour)}


_WRITERS: dict[str, Callable[[Request, Solid], Files]] = {"stl": _stl, "3mf": _3mf}


def _glb(subject: Subject, solid: Solid) -> Files:
    return {"bait.glb": write_glb(solid.vertices, solid.triangles, finish_of(subject, solid), body=solid.body)}


def _thumbnail(subject: Subject, solid: Solid) -> Files:
    request, asked = subject.request, pictured(subject.request.normal)
    return thumbnails(
        shown(subject, solid, asked.pose).prepared,
        sizes=asked.sizes,
        shrunk=2 if request.coarse else 1,
        background=asked.ground,
        view=asked.view,
    )


def _turntable(subject: Subject, solid: Solid) -> Files:
    asked = pictured(subject.request.normal)
    prepared = shown(subject, solid, asked.pose).prepared
    return turntable(prepared, asked.turn_size, asked.turn_frames, asked.turn_seconds, asked.ground)


def _views(subject: Subject, solid: Solid) -> Files:
    return views(shown(subject, solid).prepared, shrunk=2 if subject.request.coarse else 1)


_LOOKS: dict[str, Callable[[Subject, Solid], Files]] = {
    "glb": _glb,
    "thumbnail": _thumbnail,
    "turntable": _turntable,
    "views": _views,
}
"""Files that show the bait in its finish, for which its strands are asked too."""


_PLOTS: dict[str, Callable[[Subject, Mapping[str, Any]], Files]] = {
    "plots": lambda subject, metrics: {"joints.svg": joints_svg(subject, metrics)},
}
"""Files that need no solid, only strands and figures."""


def _master(subject: Subject, master: Solid, metrics: Mapping[str, Any]) -> Files:
    drawn = master_svg(subject, metrics)
    return {"master.stl": write_stl(master.vertices, master.triangles), "master.svg": drawn}


def write_files(
    subject: Subject,
    solid: Solid,
    numbers: Mapping[str, Any],
    mould: Mould | None = None,
    master: Solid | None = None,
) -> Files:
    """The bytes of every file that the subject's request asks for, by name; `metrics.json` always.

    `mould` and `master`, its solid, are given where they are asked for.
    """
    request = subject.request
    files = {"metrics.json": write_metrics(request.normal, numbers)}
    for output in request.outputs:
        if output in _PLOTS:
            files |= _PLOTS[output](subject, numbers["metrics"])
        elif output in _LOOKS:
            files |= _LOOKS[output](subject, solid)
        elif output == "sheet":
            files |= {"sheet.pdf": sheet_pdf(subject, solid, numbers)}
        elif output == "master" and master is not None:
            files |= _master(subject, master, numbers["metrics"])
        elif output == "mould":
            files |= {} if mould is None else mould_files(mould, 2 if request.coarse else 1)
        else:
            files |= _WRITERS[output](request, solid)
    return files
