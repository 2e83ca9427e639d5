"""Webhooks: where a caller wants to hear how baits ended. The secret is shown once, when it is made."""

from __future__ import annotations

import secrets
import time
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, current_app, request, url_for
from werkzeug.exceptions import PreconditionFailed

from service.answers import encode, etag_of, json_answer, lasting_answer
from service.backing import backing
from service.body import read_json
from service.caller import current_caller
from service.conditional import require_match
from service.errors import Full
from service.webhook_body import MOST, read_definition, require_name
from worker.errors import Busy, UnknownResource
from worker.hooks.signing import new_secret
from worker.records.view import now_text
from worker.records.webhooks import Standing, Webhook, described

blueprint = Blueprint("webhooks", __name__)
TRIES = 8
"""How often a change is begun anew because another came first."""


@blueprint.get("/v1/webhooks")
def index() -> Response:
    """All of the caller's."""
    told = [described(*one) for one in backing().webhooks.all(current_caller().name)]
    content = encode({"webhooks": told})
    return lasting_answer(content, etag_of(content), "application/json")


@blueprint.get("/v1/webhooks/<name>")
def show(name: str) -> Response:
    """One of them, and how its deliveries go."""
    found = backing().webhooks.get(current_caller().name, name)
    if found is None:
        raise UnknownResource(f"There is no webhook {name[:80]!r}.")
    content = encode(described(*found))
    return lasting_answer(content, etag_of(content), "application/json")


@blueprint.put("/v1/webhooks/<name>")
def put(name: str) -> Response:
    """Keep a webhook, or replace it; one that was disabled hears again. A new one's secret is in this answer alone."""
    require_name(name)
    asked = read_definition(read_json(), current_app.config["POURWRIGHT_WEBHOOK_ORIGINS"])
    caller = current_caller().name
    for _ in range(TRIES):
        found = backing().webhooks.get(caller, name)
        _require_conditions(found)
        present = None if found is None else found[0]
        if present is None and len(backing().webhooks.all(caller)) >= MOST:
            raise Full(f"A caller keeps up to {MOST} webhooks; remove one first.")
        secret = new_secret() if present is None or asked.new_secret else None
        kept = replace(
            present
            or Webhook(name=name, id=secrets.token_hex(8), address="", events=(), created=now_text(), secrets=()),
            address=asked.address,
            events=asked.events,
        )
        if secret is not None:
            kept = kept.with_secret(secret, time.time())
        if backing().webhooks.swap(caller, name, present, kept):
            return _answer(kept, secret, new=present is None)
    raise Busy("Others change this webhook all the time; try again.")


@blueprint.delete("/v1/webhooks/<name>")
def remove(name: str) -> Response:
    """Forget a webhook and all that waits for it."""
    caller = current_caller().name
    for _ in range(TRIES):
        found = backing().webhooks.get(caller, name)
        _require_conditions(found)
        if found is None:
            raise UnknownResource(f"There is no webhook {name[:80]!r}.")
        if backing().webhooks.swap(caller, name, found[0], None):
            return Response(status=204)
    raise Busy("Others change this webhook all the time; try again.")


def _answer(kept: Webhook, secret: str | None, new: bool) -> Response:
    told: dict[str, Any] = described(kept, Standing(of=kept.id))
    answer = json_answer(told if secret is None else {**told, "secret": secret}, 201 if new else 200)
    answer.headers["ETag"] = etag_of(encode(told))  # of what a GET shows, which is without the secret
    if new:
        answer.headers["Location"] = url_for("webhooks.show", name=kept.name)
    return answer


def _require_conditions(found: tuple[Webhook, Standing] | None) -> None:
    """`If-Match` and `If-None-Match: *` before a change (RFC 9110, 13.1): 412 where they do not hold."""
    if found is not None:
        require_match(request, etag_of(encode(described(*found))))
        if "*" in request.headers.get("If-None-Match", ""):
            raise PreconditionFailed("This webhook is there already; If-None-Match asks for it not to be.")
    elif "If-Match" in request.headers:
        raise PreconditionFailed("There is no such webhook; If-Match asks for one.")
