"""Webhooks: being told how baits and fits ended."""

from __future__ import annotations

from typing import Any

from service.openapi.calls.call import UNCHANGED, Item, call, json_answer
from service.openapi.calls.kept import definition, forget, keep, kept_as
from service.openapi.headers import CONDITIONS, own_name
from service.openapi.onward import WEBHOOK_LINKS
from service.openapi.responses import problem_answers
from service.openapi.shapes import Schema, object_of, only_list, ref, text, whole
from service.webhook_body import definition_schema
from worker.records.webhooks import EVENT_NAMES

TAG = "Webhooks"


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/webhooks": {"get": _list()},
        "/v1/webhooks/{name}": {
            "parameters": [own_name("webhook")],
            "get": _show(),
            "put": _keep(),
            "delete": _forget(),
        },
    }


def events() -> dict[str, Item]:
    """`webhooks` of the document: what is sent to a caller's address."""
    return {name: {"post": _event(name)} for name in EVENT_NAMES}


def schemas() -> dict[str, Schema]:
    """The objects that these calls take and give."""
    moment = {"type": ["string", "null"], "format": "date-time"}
    shown: dict[str, Schema] = {
        "name": text("As it was put."),
        "address": text("Where it leads."),
        "events": {"type": "array", "items": {"type": "string", "enum": list(EVENT_NAMES)}},
        "created": text("When it was first put.", format="date-time"),
        "status": text(
            "`disabled` once a delivery has failed for three days, or was answered 410; a PUT makes it active again.",
            enum=["active", "disabled"],
        ),
        "last_success": {**moment, "description": "When a delivery last arrived."},
        "last_failure": {**moment, "description": "When one last did not."},
        "last_reason": {"type": ["string", "null"], "description": "Why it did not."},
        "disabled_since": {**moment, "description": "Null while it is active."},
        "secret": text("`whsec_` and base64; only in the answer that makes it."),
    }
    told = {
        "id": text("The bait's id, or the fit's."),
        "status": text("How it ended.", enum=["successful", "failed", "dismissed"]),
        "attempt": whole("Which attempt at it this was."),
        "links": {"type": "object", "additionalProperties": {"type": "string", "format": "uri-reference"}},
        "problem": {**ref("Problem"), "description": "Why it failed."},
    }
    return {
        "Webhook": object_of(shown, optional=("secret",)),
        "Webhooks": only_list("webhooks", "Webhook"),
        "WebhookDefinition": definition_schema(),
        "Event": object_of(
            {
                "type": text("What happened.", enum=list(EVENT_NAMES)),
                "timestamp": text("When it ended.", format="date-time"),
                "data": object_of(told, optional=("problem",)),
            },
            description="The payload of a webhook, as the Standard Webhooks specification has it.",
        ),
    }


def _list() -> Item:
    answers = {"200": json_answer("Webhooks", "The webhooks."), **UNCHANGED, **problem_answers(405, 412, 500, 503)}
    return call("listWebhooks", TAG, "All webhooks", "The caller's own.", answers, parameters=CONDITIONS)


def _show() -> Item:
    return call(
        "getWebhook",
        TAG,
        "One webhook",
        "Where it leads and how its deliveries go; never its secret. In its `ETag` what follows the dot changes with "
        "deliveries; `If-Match` and `If-None-Match` of a change compare what stands before it alone.",
        {"200": json_answer("Webhook", "The webhook."), **UNCHANGED, **problem_answers(404, 405, 412, 500, 503)},
        parameters=CONDITIONS,
    )


def _keep() -> Item:
    example = {"address": "https://hooks.alderbank.example/pourwright", "events": ["bait.finished", "bait.failed"]}
    return keep(
        "keepWebhook",
        TAG,
        "Keep a webhook",
        "From then on each bait and fit of the caller's that ends is told there, signed by the Standard Webhooks "
        "specification; see `webhooks` of this document. What is not answered 2xx is tried again for three days. The "
        "same event may come twice: `webhook-id` tells. A bait that was there already ends no second time.",
        definition("WebhookDefinition", example),
        kept_as("Webhook", WEBHOOK_LINKS, "Kept; with its secret."),
    )


def _forget() -> Item:
    return forget("forgetWebhook", TAG, "Forget a webhook", "What waits to be delivered goes with it.")


def _event(name: str) -> Item:
    def header(field: str, description: str) -> dict[str, Any]:
        schema = {"type": "string"}
        return {"name": field, "in": "header", "required": True, "description": description, "schema": schema}

    schema = {"allOf": [{"$ref": "#/components/schemas/Event"}, {"properties": {"type": {"const": name}}}]}
    return {
        "operationId": f"on{name.title().replace('.', '')}",
        "tags": [TAG],
        "summary": f"{name} is told",
        "security": [],
        "parameters": [
            header("webhook-id", "The same however often it is sent: what has been seen need not be done again."),
            header("webhook-timestamp", "Of this try, in seconds since 1970."),
            header(
                "webhook-signature", "`v1,` and base64 of the HMAC-SHA256 of id, timestamp and body; perhaps several."
            ),
            header("traceparent", "W3C trace context: that of the request which set the bait off."),
        ],
        "requestBody": {"required": True, "content": {"application/json": {"schema": schema}}},
        "responses": {
            "2XX": {"description": "Taken."},
            "410": {"description": "No more, please: the webhook is disabled."},
            "default": {"description": "It is tried again, not before what `Retry-After` says."},
        },
    }
