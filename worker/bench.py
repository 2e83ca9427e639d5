"""The part of `metrics` that the bench needs, where a request asks for it: the shot, and the master."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from worker.checks.subject import Subject
from worker.master.figures import master_figures
from worker.shot.figures import shot_figures
from worker.values.mould_figures import MouldFigures


def bench_figures(subject: Subject, body: Mapping[str, Any], mould: MouldFigures | None = None) -> dict[str, Any]:
    """`shot` and `master` of a bait whose size is `body`; `mould`: figures of its mould, else it is assumed."""
    normal, found = subject.request.normal, {}
    if "shot" in normal:
        found["shot"] = shot_figures(subject, body["volume_mm3"], mould)
    if "print" in normal:
        found["master"] = master_figures(
            subject, tuple(body[name] for name in ("length_mm", "max_width_mm", "max_height_mm"))
        )
    return found
