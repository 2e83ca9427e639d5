"""What a fit answers with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from worker.errors import Fault
from worker.fit.rules import told_rules
from worker.fit.trials import Trials
from worker.request.identity import canonical
from worker.values.cautions import EVERY_BAIT

MOST_REASONS = 5
"""Reasons that are told where nothing stands."""


@dataclass(frozen=True)
class FitAnswer:
    """`document` is JSON-ready; `files` by name, the document's own text (`fit.json`) among them."""

    document: dict[str, Any]
    files: Mapping[str, bytes]


def nothing_stands(trials: Trials) -> FitAnswer:
    """Of ranges in which there is no bait at all: the commonest reasons, with how many baits each rules out."""
    counted: dict[tuple[str, str], list[Fault]] = {}
    for trial in trials.all:
        for fault in trial.faults:
            counted.setdefault((fault.pointer, fault.code), []).append(fault)
    commonest = sorted(counted.values(), key=len, reverse=True)[:MOST_REASONS]
    document = {
        "outcome": "none",
        "best": None,
        "reasons": [
            {"pointer": faults[0].pointer, "code": faults[0].code, "baits": len(faults), "text": faults[0].detail}
            for faults in commonest
        ],
        "rules": told_rules(trials.request.normal),
        "evaluations": {"made": trials.made, "most": trials.request.normal["evaluations"]},
        "cautions": list(EVERY_BAIT),
    }
    return FitAnswer(document, {"fit.json": canonical(document)})
