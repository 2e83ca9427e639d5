"""Estimates: every figure and check that needs no mesh, at once and without the queue."""

from __future__ import annotations

import time

from flask import Blueprint, Response

from service.answers import json_answer
from service.backing import backing
from service.bait_body import links_of
from service.body import read_json
from service.own import read_own
from worker.records.view import now_text
from worker.request import read_request

blueprint = Blueprint("estimates", __name__)


@blueprint.post("/v1/estimates")
def create() -> Response:
    """Estimate one bait. The answer is the body of a bait that has no files; nothing is stored."""
    asked = read_own(read_json(), read_request)
    created = now_text()
    began = time.perf_counter()
    figures = backing().estimator(asked)
    spent = time.perf_counter() - began
    label = {} if asked.label is None else {"label": asked.label}
    links = links_of(asked.id, asked.normal)
    return json_answer(
        {
            "id": asked.id,
            "status": "successful",
            **label,
            "request": asked.normal,
            "metrics": figures["metrics"],
            "checks": figures["checks"],
            "files": [],
            "cautions": figures["cautions"],
            "limb_places": figures["limb_places"],
            "created": created,
            "finished": now_text(),
            "timings": {"estimate": round(spent * 1000, 3)},
            "links": links,
        }
    )
