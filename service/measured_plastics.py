"""What test pieces make of a caller's plastic, and of the verdicts on the baits that he keeps in it."""

from __future__ import annotations

import time
from typing import Any

from service.backing import backing
from service.own_plastics import RECORD, Definition
from worker.errors import Busy, RequestRejected
from worker.measures.trial.measured import NOTHING, Measured, measured
from worker.measures.trial.record import read_record
from worker.request import Request, read_request
from worker.request.measurements import POOLED, Measurements
from worker.request.plastic import chosen_grade
from worker.values.own_plastics import plastic_of

MOST_BAITS = 100
"""The newest of the baits in a plastic are looked at; each takes two estimates."""
LOOKED_AT = frozenset({"accepted", "running", "successful"})
LONGEST_S = 5.0
"""For so long: a caller waits, and estimates of others stand in the same line."""


def figures_from(sent: Measurements, definition: Definition) -> dict[str, Measured]:
    """The figures that the pieces tell with those of earlier calls; rods that nobody weighed by the plastic's density.

    Raises InvalidRequest. Sixty droops hold the interpreter for a third of a second: a call does this in turn with the
    estimates.
    """
    record = read_record(definition.get(RECORD, {})) if sent.earlier == POOLED else NOTHING
    return measured(sent.pieces, plastic_of(definition).density, sent.source, record)


def with_figures(definition: Definition, figures: dict[str, Measured]) -> Definition:
    """The definition with these in place of its own, and the record of their pieces.

    A grade that its owner did not name is chosen anew.
    """
    told = {name: each.range.describe() for name, each in figures.items()}
    new = {name: {part: each[part] for part in ("low", "typical", "high", "source")} for name, each in told.items()}
    properties = {**definition["properties"], **new}
    record = {**definition.get(RECORD, {}), **{name: _kept(each) for name, each in figures.items()}}
    grade = chosen_grade(properties) if definition.get("grade_chosen") else {}
    return {**definition, "properties": properties, RECORD: record, **grade}


def _kept(figure: Measured) -> list[dict[str, Any]]:
    return [call.kept() for call in figure.calls]


def changed_verdicts(caller: str, name: str, definition: Definition) -> dict[str, Any]:
    """Of the caller's kept baits that name this plastic, every check whose verdict is another by the new figures.

    Both verdicts are estimates, which need no solid: `was` with the figures that stand in the bait's own request, `is`
    with those of `definition`. Baits themselves stay as they are.
    """
    baits, kept = backing().baits.of_plastic(caller, name, MOST_BAITS)
    until = time.monotonic() + LONGEST_S
    changed: list[dict[str, str]] = []
    looked_at = 0
    for bait in baits:
        if time.monotonic() > until:
            break
        if bait.status not in LOOKED_AT:
            continue
        try:
            was, now = (_verdicts(request) for request in _both(bait.request, definition))
        except Busy:
            break  # others wait for estimates; the plastic is kept all the same
        except RequestRejected:
            continue  # asked of an older version, which took what this one does not
        looked_at += 1
        changed += [
            {"id": bait.id, "check": check, "was": verdict, "is": now[check]}
            for check, verdict in was.items()
            if now.get(check, verdict) != verdict
        ]
    return {"kept": kept, "looked_at": looked_at, "at_most": MOST_BAITS, "changed": changed}


def _both(normal: dict[str, Any], definition: Definition) -> tuple[Request, Request]:
    """The bait as it was asked for, and as the same words ask for it now."""
    plastic = {**normal["plastic"], "grade": definition["grade"], "properties": definition["properties"]}
    return read_request(normal), read_request({**normal, "plastic": plastic})


def _verdicts(request: Request) -> dict[str, str]:
    checks: Any = backing().estimator(request)["checks"]
    return {check["check"]: check["verdict"] for check in checks}
