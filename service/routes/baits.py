"""Baits: asked for, waited for, looked at, removed."""

from __future__ import annotations

from flask import Blueprint, Response, request

from service.answers import json_answer, lasting_answer
from service.backing import backing
from service.bait_body import bait_body, bait_path, ended_body
from service.body import read_json
from service.caller import current_caller
from service.idempotency import read_key, require_same
from service.own_plastics import with_own_plastic
from service.prefer import read_preference, seconds
from service.seen import current_trace
from worker.errors import Fault, InvalidRequest, UnknownResource
from worker.records.logs import tell_besides
from worker.records.names import ENDED
from worker.records.view import BaitView
from worker.request import read_request

blueprint = Blueprint("baits", __name__)

ASK_AGAIN_S = 1


@blueprint.post("/v1/baits")
def create() -> Response:
    """Ask for a bait: 201 new and ended within the wait, 200 known and ended, 202 under way."""
    caller = current_caller().name
    key = read_key(request.headers.get("Idempotency-Key"))
    asked = read_request(with_own_plastic(read_json()))
    if key is not None:
        require_same(backing().idempotency_keys.bait_of(caller, "baits", key, asked.id), asked.id)
    tell_besides(bait=asked.id)
    preference = read_preference(request.headers.get("Prefer", ""))
    submission = backing().baits.submit(caller, asked, trace=current_trace())
    bait, headers = _wait(caller, submission.bait, preference.wait_s)
    status = 202 if bait.status not in ENDED else 201 if submission.created else 200
    if status == 202:
        headers["Retry-After"] = str(ASK_AGAIN_S)
        if preference.respond_async and preference.wait_s is None:
            headers["Preference-Applied"] = "respond-async"
    headers["Location"] = bait_path(bait.id)
    return json_answer(bait_body(bait, asked.label), status, headers)


@blueprint.get("/v1/baits/<bait_id>")
def show(bait_id: str) -> Response:
    """A bait as it is, or, with a wait, as it is when it has ended or the time is up."""
    caller = current_caller().name
    in_query = _wait_in_query()
    bait = _known(backing().baits.view(caller, bait_id))
    wait_s = read_preference(request.headers.get("Prefer", "")).wait_s if in_query is None else in_query
    bait, headers = _wait(caller, bait, wait_s)
    if in_query is not None:
        headers.pop("Preference-Applied", None)
    if bait.status in ENDED:
        return lasting_answer(*ended_body(backing().ended_baits, caller, bait), "application/json", headers)
    return json_answer(bait_body(bait), headers={**headers, "Retry-After": str(ASK_AGAIN_S)})


@blueprint.delete("/v1/baits/<bait_id>")
def remove(bait_id: str) -> Response:
    """Dismiss a bait that is under way (200), or remove one that has ended (204)."""
    caller, baits = current_caller().name, backing().baits
    bait = _known(baits.view(caller, bait_id))
    if bait.status not in ENDED:
        bait = _known(baits.dismiss(caller, bait_id))
    if bait.status == "dismissed":
        return json_answer(bait_body(bait))
    # It had ended, if only in the moment before it could be dismissed.
    baits.delete(caller, bait_id)
    return Response(status=204)


def _known(bait: BaitView | None) -> BaitView:
    if bait is None:
        raise UnknownResource("There is no bait of this id.")
    return bait


def _wait(caller: str, bait: BaitView, wait_s: int | None) -> tuple[BaitView, dict[str, str]]:
    """The bait after the wait that was asked for, and the headers that say what was made of the wish."""
    headers = {"Vary": "Prefer"}
    if wait_s is None:
        return bait, headers
    if bait.status in ENDED or wait_s == 0:
        return bait, {**headers, "Preference-Applied": f"wait={wait_s}"}
    waited = backing().waiters.wait(backing().baits, caller, bait, wait_s)
    if waited is None:
        return bait, headers
    return waited, {**headers, "Preference-Applied": f"wait={wait_s}"}


def _wait_in_query() -> int | None:
    text = request.args.get("wait")
    if text is None:
        return None
    read = seconds(text)
    if read is None:
        detail = "The query's wait is a whole number of seconds."
        raise InvalidRequest(detail, [Fault("/wait", "wrong-type", detail, "a whole number from 0 up")])
    return read
