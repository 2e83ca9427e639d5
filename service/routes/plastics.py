"""Plastics: the figures that strength, stiffness and weight are worked out from, and where they come from."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, request, url_for
from werkzeug.exceptions import PreconditionFailed

from service.answers import encode, etag_of, json_answer, lasting_answer
from service.backing import backing
from service.body import read_json
from service.caller import current_caller
from service.conditional import require_match
from service.errors import Full
from service.own_plastics import MOST, described, read_definition, require_own_name
from worker.errors import Busy, UnknownResource
from worker.values.plastics import BUILT_IN

blueprint = Blueprint("plastics", __name__)
TRIES = 8
"""How often a change is begun anew because another came first."""


@blueprint.get("/v1/plastics")
def index() -> Response:
    """Every plastic with low, typical and high figures: the built-in ones, then the caller's own."""
    built_in = [plastic.describe() for plastic in BUILT_IN.values()]
    own = [described(name, kept) for name, kept in backing().plastics.all(current_caller().name).items()]
    content = encode({"plastics": [*built_in, *own]})
    return lasting_answer(content, etag_of(content), "application/json")


@blueprint.get("/v1/plastics/<name>")
def show(name: str) -> Response:
    """One of them."""
    content = encode(_told(name))
    return lasting_answer(content, etag_of(content), "application/json")


@blueprint.put("/v1/plastics/<name>")
def put(name: str) -> Response:
    """Keep a plastic of the caller's own, or replace it. Baits that were asked for in the old one stay as they are."""
    require_own_name(name)
    definition = read_definition(read_json())
    new = _changed(name, definition)
    content = described(name, definition)
    answer = json_answer(content, 201 if new else 200)
    answer.headers["ETag"] = etag_of(encode(content))
    if new:
        answer.headers["Location"] = url_for("plastics.show", name=name)
    return answer


@blueprint.delete("/v1/plastics/<name>")
def remove(name: str) -> Response:
    """Forget a plastic of the caller's own."""
    require_own_name(name)
    _changed(name, None)
    return Response(status=204)


def _changed(name: str, wanted: dict[str, Any] | None) -> bool:
    """Keep or forget it; whether there was none before. Another writer in between has the conditions asked anew."""
    caller, plastics = current_caller().name, backing().plastics
    for _ in range(TRIES):
        present = plastics.get(caller, name)
        _require_conditions(name, present)
        if present is None and wanted is None:
            raise UnknownResource(f"There is no plastic {name[:80]!r}.")
        if present is None and len(plastics.all(caller)) >= MOST:
            raise Full(f"A caller keeps up to {MOST} plastics; remove one first.")
        if plastics.swap(caller, name, present, wanted):
            return present is None
    raise Busy("Others change this plastic all the time; try again.")


def _told(name: str) -> dict[str, object]:
    if name in BUILT_IN:
        return BUILT_IN[name].describe()
    kept = backing().plastics.get(current_caller().name, name)
    if kept is None:
        raise UnknownResource(f"There is no plastic {name[:80]!r}.")
    return described(name, kept)


def _require_conditions(name: str, present: dict[str, Any] | None) -> None:
    """`If-Match` and `If-None-Match: *` before a change (RFC 9110, 13.1): 412 where they do not hold."""
    if present is not None:
        require_match(request, etag_of(encode(described(name, present))))
        if "*" in request.headers.get("If-None-Match", ""):
            raise PreconditionFailed("This plastic is there already; If-None-Match asks for it not to be.")
    elif "If-Match" in request.headers:
        raise PreconditionFailed("There is no such plastic; If-Match asks for one.")
