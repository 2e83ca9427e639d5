"""Whether the process lives, and whether work that is taken now will be done."""

from __future__ import annotations

from flask import Blueprint, Response

from service.answers import json_answer
from service.backing import backing
from service.errors import NotReady

blueprint = Blueprint("health", __name__)


@blueprint.get("/healthz")
def alive() -> Response:
    """This process answers. Asks nobody else, so that a store that is away does not get it killed."""
    return json_answer({"status": "alive"})


@blueprint.get("/readyz")
def ready() -> Response:
    """The store answers and a worker is alive. Raises NotReady (503), which says what is missing."""
    missing = backing().readiness.missing()
    if missing:
        raise NotReady(" ".join(missing), retry_after_s=2)
    return json_answer({"status": "ready", "workers": backing().readiness.workers()})
