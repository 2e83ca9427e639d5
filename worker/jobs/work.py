"""What each kind of record is worked on with: a function from its request in normal form to what is kept of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from worker.build import build
from worker.fitting import found
from worker.records.carrying import Done
from worker.records.names import Kind
from worker.request import Request


def _built(normal: dict[str, Any]) -> Done:
    made = build(Request.from_normal(normal))
    members = {"metrics": made.metrics, "checks": made.checks, "cautions": made.cautions}
    return Done(made.files, made.timings, members)


WORK: Mapping[Kind, Callable[[dict[str, Any]], Done]] = {"bait": _built, "fit": found}
