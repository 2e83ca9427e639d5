"""Plastics: the figures that strength, stiffness and weight are worked out from, and where they come from."""

from __future__ import annotations

from flask import Blueprint, Response, url_for

from service.answers import encode, etag_of, lasting_answer
from service.backing import backing
from service.body import read_json
from service.caller import current_caller
from service.changing_definitions import answer_kept, plastics_shelf
from service.own_plastics import described, read_definition, require_own_name
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
    definition = read_definition(read_json())
    address = url_for("plastics.show", name=name)
    return answer_kept(plastics_shelf(), name, definition, described(name, definition), address)


@blueprint.delete("/v1/plastics/<name>")
def remove(name: str) -> Response:
    """Forget a plastic of the caller's own."""
    require_own_name(name)
    plastics_shelf().forget(name, lambda: _unknown(name))
    return Response(status=204)


def _told(name: str) -> dict[str, object]:
    if name in BUILT_IN:
        return BUILT_IN[name].describe()
    kept = backing().plastics.get(current_caller().name, name)
    if kept is None:
        raise _unknown(name)
    return described(name, kept)


def _unknown(name: str) -> UnknownResource:
    return UnknownResource(f"There is no plastic {name[:80]!r}.")
