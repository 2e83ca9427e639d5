"""Changing a webhook of the caller's own, and the version that conditions speak of."""

from __future__ import annotations

from service.answers import encode, etag_of
from service.backing import backing
from service.changing import Shelf
from service.webhook_body import MOST
from worker.records.webhooks import Standing, Webhook, described

_DIGITS = 16


def webhooks_shelf() -> Shelf[Webhook]:
    """Where the present service keeps callers' webhooks."""
    webhooks = backing().webhooks

    def get(caller: str, name: str) -> Webhook | None:
        found = webhooks.get(caller, name)
        return None if found is None else found[0]

    return Shelf(
        "webhook",
        MOST,
        get,
        lambda caller: len(webhooks.all(caller)),
        webhooks.swap,
        lambda _, kept: version_of(kept, Standing(of=kept.id)),
    )


def version_of(webhook: Webhook, standing: Standing) -> str:
    """The entity tag of a webhook as `GET` tells it: what was put, a dot, and how deliveries go.

    A delivery changes what is told, and so the tag; but it changes nothing that a writer could undo, so a change asks
    for the part before the dot alone (`conditional.require_conditions`). Secrets are in it: a new one is a new version.
    """
    put, told = (etag_of(text).strip('"')[:_DIGITS] for text in (webhook.text().encode(), _told(webhook, standing)))
    return f'"{put}.{told}"'


def _told(webhook: Webhook, standing: Standing) -> bytes:
    return encode(described(webhook, standing))
