"""Webhooks: where a caller wants to hear how baits ended. The secret is shown once, when it is made."""

from __future__ import annotations

import secrets
import time
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, url_for

from service.answers import encode, etag_of, json_answer, lasting_answer
from service.backing import backing
from service.body import read_json
from service.caller import current_caller
from service.changing_webhooks import version_of, webhooks_shelf
from service.names import require_name
from service.webhook_body import read_definition
from worker.errors import UnknownResource
from worker.hooks.signing import new_secret
from worker.records.view import now_text
from worker.records.webhooks import Standing, Webhook, described

blueprint = Blueprint("webhooks", __name__)


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
        raise _unknown(name)
    return lasting_answer(encode(described(*found)), version_of(*found), "application/json")


@blueprint.put("/v1/webhooks/<name>")
def put(name: str) -> Response:
    """Keep a webhook, or replace it; one that was disabled hears again. A new one's secret is in this answer alone."""
    require_name(name, "webhook")
    asked = read_definition(read_json(), backing().webhook_origins)
    shown: list[str] = []

    def wanted(present: Webhook | None) -> Webhook:
        secret = new_secret() if present is None or asked.new_secret else None
        kept = replace(present or _new(name), address=asked.address, events=asked.events)
        shown[:] = [] if secret is None else [secret]
        return kept if secret is None else kept.with_secret(secret, time.time())

    before, kept = webhooks_shelf().change(name, wanted)
    assert kept is not None
    standing = Standing(of=kept.id)
    told: dict[str, Any] = described(kept, standing) | ({"secret": shown[0]} if shown else {})
    answer = json_answer(told, 201 if before is None else 200, {"ETag": version_of(kept, standing)})
    if before is None:
        answer.headers["Location"] = url_for("webhooks.show", name=name)
    return answer


@blueprint.delete("/v1/webhooks/<name>")
def remove(name: str) -> Response:
    """Forget a webhook and all that waits for it."""
    webhooks_shelf().forget(name, lambda: _unknown(name))
    return Response(status=204)


def _new(name: str) -> Webhook:
    return Webhook(name=name, id=secrets.token_hex(8), address="", events=(), created=now_text(), secrets=())


def _unknown(name: str) -> UnknownResource:
    return UnknownResource(f"There is no webhook {name[:80]!r}.")
