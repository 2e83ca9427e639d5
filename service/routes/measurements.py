"""Measurements: test pieces that turn a plastic's judgement into figures."""

from __future__ import annotations

from flask import Blueprint, Response

from service.answers import json_answer
from service.backing import backing
from service.body import read_json
from service.caller import current_caller
from service.changing_definitions import plastics_shelf
from service.measured_plastics import changed_verdicts, figures_from, with_figures
from service.own_plastics import Definition, described, require_own_name
from worker.errors import UnknownResource
from worker.measures.trial.measured import Measured
from worker.request.measurements import read_measurements

blueprint = Blueprint("measurements", __name__)


@blueprint.post("/v1/plastics/<name>/measurements")
def create(name: str) -> Response:
    """Put what test pieces tell into a plastic of the caller's own, and say whose verdicts are others by it."""
    require_own_name(name)
    sent = read_measurements(read_json())
    figures: dict[str, Measured] = {}

    def measure(present: Definition | None) -> Definition:
        if present is None:
            raise UnknownResource(f"There is no plastic {name[:80]!r}; keep it first, with PUT.")
        figures.update(backing().estimator.in_turn(lambda: figures_from(sent, present)))
        return with_figures(present, figures)

    shelf = plastics_shelf()
    _, kept = shelf.change(name, measure)
    assert kept is not None
    body = {
        "plastic": described(name, kept),
        "figures": {figure: each.describe() for figure, each in figures.items()},
        "baits": changed_verdicts(current_caller().name, name, kept),
    }
    return json_answer(body, headers={"ETag": shelf.tag(name, kept)})
