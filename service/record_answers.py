"""What is answered about a record, a bait's or a fit's alike: taken, looked at, waited for, dismissed, removed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from flask import Response, request

from service.answers import json_answer, lasting_answer
from service.backing import backing
from service.bait_body import ended_body
from service.interfaces import Records
from service.prefer import read_preference, seconds
from worker.errors import Fault, InvalidRequest, UnknownResource
from worker.records.names import ENDED, Kind
from worker.records.view import BaitView, Submission

ASK_AGAIN_S = 1


@dataclass(frozen=True, slots=True)
class Resource:
    """One kind of records: where they are kept, and the body and the address of each."""

    kind: Kind
    records: Records
    body: Callable[[BaitView, str | None], dict[str, Any]]
    path: Callable[[str], str]

    def known(self, found: BaitView | None) -> BaitView:
        """What was found. Raises UnknownResource where it was nothing."""
        if found is None:
            raise UnknownResource(f"There is no {self.kind} of this id.")
        return found


def answer_submitted(resource: Resource, caller: str, taken: Submission, label: str | None) -> Response:
    """To a POST: 201 new and ended within the wait, 200 known and ended, 202 under way."""
    preference = read_preference(request.headers.get("Prefer", ""))
    found, headers = _wait(resource, caller, taken.bait, preference.wait_s)
    status = 202 if found.status not in ENDED else 201 if taken.created else 200
    if status == 202:
        headers["Retry-After"] = str(ASK_AGAIN_S)
        if preference.respond_async and preference.wait_s is None:
            headers["Preference-Applied"] = "respond-async"
    headers["Location"] = resource.path(found.id)
    return json_answer(resource.body(found, label), status, headers)


def answer_shown(resource: Resource, caller: str, record_id: str) -> Response:
    """To a GET: as it is, or, with a wait, as it is when it has ended or the time is up."""
    in_query = _wait_in_query()
    found = resource.known(resource.records.view(caller, record_id))
    wait_s = read_preference(request.environ.get("HTTP_PREFER", "")).wait_s if in_query is None else in_query
    found, headers = _wait(resource, caller, found, wait_s)
    if in_query is not None:
        headers.pop("Preference-Applied", None)
    if found.status in ENDED:
        bodies = backing().ended_baits if resource.kind == "bait" else backing().ended_fits
        kept = ended_body(bodies, caller, found, lambda view: resource.body(view, None))
        return lasting_answer(*kept, "application/json", headers)
    return json_answer(resource.body(found, None), headers={**headers, "Retry-After": str(ASK_AGAIN_S)})


def answer_removed(resource: Resource, caller: str, record_id: str) -> Response:
    """To a DELETE: dismiss what is under way (200), or remove what has ended (204)."""
    records = resource.records
    found = resource.known(records.view(caller, record_id))
    if found.status not in ENDED:
        found = resource.known(records.dismiss(caller, record_id))
    if found.status == "dismissed":
        return json_answer(resource.body(found, None))
    # It had ended, if only in the moment before it could be dismissed.
    records.delete(caller, record_id)
    return Response(status=204)


def _wait(resource: Resource, caller: str, found: BaitView, wait_s: int | None) -> tuple[BaitView, dict[str, str]]:
    """The record after the wait that was asked for, and the headers that say what was made of the wish."""
    headers = {"Vary": "Prefer"}
    if wait_s is None:
        return found, headers
    if found.status in ENDED or wait_s == 0:
        return found, {**headers, "Preference-Applied": f"wait={wait_s}"}
    waited = backing().waiters.wait(resource.records, caller, found, wait_s)
    if waited is None:
        return found, headers
    return waited, {**headers, "Preference-Applied": f"wait={wait_s}"}


def _wait_in_query() -> int | None:
    if not request.query_string:
        return None
    text = request.args.get("wait")
    if text is None:
        return None
    read = seconds(text)
    if read is None:
        detail = "The query's wait is a whole number of seconds."
        raise InvalidRequest(detail, [Fault("/wait", "wrong-type", detail, "a whole number from 0 up")])
    return read
