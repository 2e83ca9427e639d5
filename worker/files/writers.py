"""Who writes which file: one line a file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from worker.files.metrics import write_metrics
from worker.files.stl import write_stl
from worker.request import Request
from worker.solid.solid import Solid


def write_files(request: Request, solid: Solid, numbers: Mapping[str, Any]) -> dict[str, bytes]:
    """The bytes of every file that the request asks for, by name; `metrics.json` always."""
    files = {"metrics.json": write_metrics(request.normal, numbers)}
    if "stl" in request.outputs:
        files["bait.stl"] = write_stl(solid.vertices, solid.triangles)
    return files
