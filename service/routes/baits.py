"""Baits: asked for, waited for, looked at, removed."""

from __future__ import annotations

from flask import Blueprint, Response, request

from service.backing import backing
from service.bait_body import bait_body, bait_path
from service.body import read_json
from service.caller import current_caller
from service.idempotency import read_key, require_same
from service.own import read_own
from service.record_answers import Resource, answer_removed, answer_shown, answer_submitted
from service.seen import current_trace
from worker.records.logs import tell_besides
from worker.request import read_request

blueprint = Blueprint("baits", __name__)


def _baits() -> Resource:
    return Resource("bait", backing().baits, bait_body, bait_path)


@blueprint.post("/v1/baits")
def create() -> Response:
    """Ask for a bait: 201 new and ended within the wait, 200 known and ended, 202 under way."""
    caller = current_caller().name
    key = read_key(request.headers.get("Idempotency-Key"))
    asked = read_own(read_json(), read_request)
    if key is not None:
        require_same(backing().idempotency_keys.bait_of(caller, "baits", key, asked.id), asked.id)
    tell_besides(bait=asked.id)
    submission = backing().baits.submit(caller, asked, trace=current_trace())
    return answer_submitted(_baits(), caller, submission, asked.label)


@blueprint.get("/v1/baits/<bait_id>")
def show(bait_id: str) -> Response:
    """A bait as it is, or, with a wait, as it is when it has ended or the time is up."""
    return answer_shown(_baits(), current_caller().name, bait_id)


@blueprint.delete("/v1/baits/<bait_id>")
def remove(bait_id: str) -> Response:
    """Dismiss a bait that is under way (200), or remove one that has ended (204)."""
    return answer_removed(_baits(), current_caller().name, bait_id)
