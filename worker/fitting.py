"""A fit, on one screen: a request in, its answer and files out. Arithmetic alone, so small ones run in a request."""

from __future__ import annotations

from typing import Any

from worker.fit import FitRequest
from worker.fit.run import run
from worker.records.carrying import Done


def found(normal: dict[str, Any]) -> Done:
    """What the search of a fit in normal form finds. Raises BuildFailed."""
    answer = run(FitRequest.from_normal(normal))
    return Done(answer.files, {}, {"answer": answer.document})
