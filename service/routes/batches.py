"""Batches: many baits in one call, looked at, dismissed and fetched together."""

from __future__ import annotations

from flask import Blueprint, Response, request
from werkzeug.http import dump_options_header

from service.answers import json_answer, lasting_answer
from service.backing import backing
from service.batch_body import batch_body, batch_path, ended_body
from service.batch_reading import MEDIA_TYPES, MOST_BYTES, read_items
from service.body import read_bytes
from service.caller import current_caller
from service.conditional import not_modified, require_match, wanted_range
from service.errors import NotEnded
from service.first_answers import first_taken
from service.idempotency import read_key
from service.seen import current_trace
from worker.errors import UnknownResource
from worker.records.batch_view import BatchView

blueprint = Blueprint("batches", __name__)

ASK_AGAIN_S = 2
ROUTE = "batches"


@blueprint.post("/v1/batches")
def create() -> Response:
    """Ask for up to a thousand baits: 202 where any can be built, each item with its bait or its problem."""
    caller = current_caller().name
    key = read_key(request.headers.get("Idempotency-Key"))
    raw = read_bytes(MEDIA_TYPES, MOST_BYTES)
    taken = first_taken(
        caller, ROUTE, key, raw, lambda: _take(caller, raw), _told, lambda told: _as_first(caller, told)
    )
    return _accepted(taken)


def _told(batch: BatchView) -> str:
    return f"{batch.id}:{batch.first_letters}"


def _as_first(caller: str, told: str) -> BatchView | None:
    batch_id, _, letters = told.partition(":")
    kept = backing().batches.view(caller, batch_id, removed=True)
    return None if kept is None else kept.as_first(letters)


@blueprint.get("/v1/batches/<batch_id>")
def show(batch_id: str) -> Response:
    """A batch as it is."""
    found = ended_body(backing().ended_batches, backing().batches, current_caller().name, batch_id)
    if isinstance(found, tuple):
        return lasting_answer(*found, "application/json")
    return json_answer(batch_body(_known(found)), headers={"Retry-After": str(ASK_AGAIN_S)})


@blueprint.delete("/v1/batches/<batch_id>")
def remove(batch_id: str) -> Response:
    """Dismiss a batch under way (200), with its baits that nobody else wants, or remove one that has ended (204)."""
    caller, batches = current_caller().name, backing().batches
    batch = _known(batches.view(caller, batch_id))
    if batch.finished is None:
        batch = _known(batches.dismiss(caller, batch_id))
    if batch.status == "dismissed":
        return json_answer(batch_body(batch))
    # It had ended, if only in the moment before it could be dismissed.
    batches.remove(caller, batch_id)
    return Response(status=204)


@blueprint.get("/v1/batches/<batch_id>/archive")
def archive(batch_id: str) -> Response:
    """All files of a batch that has ended, as one ZIP; HEAD, conditions and ranges as RFC 9110 has them."""
    caller = current_caller().name
    batch = _known(backing().batches.view(caller, batch_id))
    if batch.finished is None:
        raise NotEnded("The archive is there once every bait of the batch has ended; ask for the batch until it has.")
    baits = backing().baits
    found = backing().archives.of(baits, caller, batch)
    length = found.stored.length
    fields = {
        "ETag": found.etag,
        "Cache-Control": "private, no-cache",  # a bait that is removed goes from it
        "Accept-Ranges": "bytes",
        "Content-Disposition": dump_options_header("attachment", {"filename": f"batch-{batch_id[:8]}.zip"}),
    }
    require_match(request, found.etag)
    if not_modified(request, found.etag):
        return Response(None, 304, fields)
    part = wanted_range(request, found.etag, length)
    first, last = part or (0, length - 1)
    if part is not None:
        fields["Content-Range"] = f"bytes {first}-{last}/{length}"
    # Only who gets bytes takes one of the places.
    content = None
    if request.method != "HEAD":
        content = backing().archives.sending(found, first, last, lambda: baits.note_use(caller, found.baits))
    response = Response(content, 206 if part else 200, fields, mimetype="application/zip", direct_passthrough=True)
    response.content_length = last - first + 1
    return response


def _take(caller: str, raw: bytes) -> BatchView:
    backing().batches.require_room(caller)
    media_type = request.mimetype
    items = backing().batch_turns.run(lambda: read_items(raw, media_type))
    return backing().batches.submit(caller, items, current_trace())


def _accepted(batch: BatchView) -> Response:
    headers = {"Location": batch_path(batch.id), "Retry-After": str(ASK_AGAIN_S)}
    return json_answer(batch_body(batch), 202, headers)


def _known(batch: BatchView | None) -> BatchView:
    if batch is None:
        raise UnknownResource("There is no batch of this id.")
    return batch
