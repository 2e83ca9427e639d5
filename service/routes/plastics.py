"""Plastics: the figures that strength, stiffness and weight are worked out from, and where they come from."""

from __future__ import annotations

from flask import Blueprint, Response, request, url_for
from werkzeug.exceptions import PreconditionFailed

from service.answers import encode, etag_of, json_answer, lasting_answer
from service.backing import backing
from service.body import read_json
from service.caller import current_caller
from service.conditional import require_match
from service.errors import Full
from service.own_plastics import MOST, described, read_definition, require_own_name
from worker.errors import UnknownResource
from worker.values.plastics import BUILT_IN

blueprint = Blueprint("plastics", __name__)


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
    caller, plastics = current_caller().name, backing().plastics
    before = plastics.get(caller, name)
    _require_conditions(name, before is not None)
    definition = read_definition(read_json())
    if before is None and len(plastics.all(caller)) >= MOST:
        raise Full(f"A caller keeps up to {MOST} plastics; remove one first.")
    plastics.put(caller, name, definition)
    content = described(name, definition)
    answer = json_answer(content, 200 if before is not None else 201)
    answer.headers["ETag"] = etag_of(encode(content))
    if before is None:
        answer.headers["Location"] = url_for("plastics.show", name=name)
    return answer


@blueprint.delete("/v1/plastics/<name>")
def remove(name: str) -> Response:
    """Forget a plastic of the caller's own."""
    require_own_name(name)
    kept = backing().plastics.get(current_caller().name, name) is not None
    _require_conditions(name, kept)
    if not kept or not backing().plastics.delete(current_caller().name, name):
        raise UnknownResource(f"There is no plastic {name[:80]!r}.")
    return Response(status=204)


def _told(name: str) -> dict[str, object]:
    if name in BUILT_IN:
        return BUILT_IN[name].describe()
    kept = backing().plastics.get(current_caller().name, name)
    if kept is None:
        raise UnknownResource(f"There is no plastic {name[:80]!r}.")
    return described(name, kept)


def _require_conditions(name: str, there: bool) -> None:
    """`If-Match` and `If-None-Match: *` before a change (RFC 9110, 13.1): 412 where they do not hold."""
    if there:
        require_match(request, etag_of(encode(_told(name))))
        if "*" in request.headers.get("If-None-Match", ""):
            raise PreconditionFailed("This plastic is there already; If-None-Match asks for it not to be.")
    elif "If-Match" in request.headers:
        raise PreconditionFailed("There is no such plastic; If-Match asks for one.")
