"""Callers' webhooks as they are kept: where each leads, of which events it tells, by which secrets it signs."""

from __future__ import annotations

import json
import secrets as random_secrets
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any, cast

from redis import Redis

from worker.records import outbox_scripts
from worker.records.connect import reporting_absence
from worker.records.names import hook_standings, webhooks

# How a bait can end, and what its event is called.
EVENTS: Mapping[str, str] = {
    "successful": "bait.finished",
    "failed": "bait.failed",
    "dismissed": "bait.dismissed",
}
OLD_SECRET_HOLDS_S = 86_400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Webhook:
    """One webhook. `id` tells it from an earlier one of the same name. `secrets`: each with its end, in seconds."""

    name: str
    id: str
    address: str
    events: tuple[str, ...]
    created: str
    secrets: tuple[tuple[str, float | None], ...] = field(repr=False)

    @classmethod
    def read(cls, text: str | bytes) -> Webhook:
        """From the store's text."""
        told = json.loads(text)
        secrets = tuple((secret, until) for secret, until in told.pop("secrets"))
        return cls(**{**told, "events": tuple(told["events"])}, secrets=secrets)

    def text(self) -> str:
        """For the store: the same webhook, the same text."""
        return json.dumps(asdict(self), sort_keys=True)

    def signing(self, now: float) -> list[str]:
        """The secrets that hold now, the newest first."""
        return [secret for secret, until in self.secrets if until is None or until > now]

    def with_secret(self, secret: str, now: float) -> Webhook:
        """With a new secret; the one before goes on to hold for a day, so that nothing is refused meanwhile.

        That one alone: each signs every message, and a header has its bounds.
        """
        before = [(old, now + OLD_SECRET_HOLDS_S) for old, until in self.secrets if until is None]
        return replace(self, secrets=((secret, None), *before))


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How deliveries to a webhook, `of` by its id, went since the PUT that `since` names; moments in RFC 3339."""

    of: str
    since: str = ""
    last_success: str | None = None
    last_failure: str | None = None
    last_reason: str | None = None
    disabled_since: str | None = None

    @classmethod
    def read(cls, text: str | bytes | None, of: str) -> Standing:
        """From the store's text; without any nothing is known of it."""
        return cls(of=of) if text is None else cls(**json.loads(text))

    @classmethod
    def new(cls, of: str) -> Standing:
        """Of a webhook that has just been put: no other PUT's is equal to it."""
        return cls(of=of, since=random_secrets.token_hex(8))

    def text(self) -> str:
        """For the store."""
        return json.dumps(asdict(self))


class WebhookBook:
    """All callers' webhooks. Every call may raise StoreUnavailable."""

    def __init__(self, connection: Redis) -> None:
        self._connection = connection
        self._swap = connection.register_script(outbox_scripts.SWAP)

    def get(self, caller: str, name: str) -> tuple[Webhook, Standing] | None:
        """One of them, and how it stands."""
        with reporting_absence():
            queue = self._connection.pipeline(transaction=True)  # both of one moment: no PUT between them
            queue.hget(webhooks(caller), name)
            queue.hgetall(hook_standings(caller))
            text, standings = cast("tuple[bytes | None, dict[bytes, bytes]]", queue.execute())
        if text is None:
            return None
        webhook = Webhook.read(text)
        return webhook, Standing.read(standings.get(webhook.id.encode()), webhook.id)

    def all(self, caller: str) -> list[tuple[Webhook, Standing]]:
        """All of a caller's, by name."""
        with reporting_absence():
            queue = self._connection.pipeline(transaction=False)
            queue.hgetall(webhooks(caller))
            queue.hgetall(hook_standings(caller))
            texts, standings = cast("list[dict[bytes, bytes]]", queue.execute())
        found = sorted((Webhook.read(text) for text in texts.values()), key=lambda one: one.name)
        return [(one, Standing.read(standings.get(one.id.encode()), one.id)) for one in found]

    def swap(self, caller: str, name: str, present: Webhook | None, wanted: Webhook | None) -> bool:
        """Keep `wanted`, durably (None: forget it and all that waits for it), if `present` still stands there."""
        before, after = ("" if one is None else one.text() for one in (present, wanted))
        ids = ["" if one is None else one.id for one in (present, wanted)]
        with reporting_absence():
            return bool(self._swap(args=[caller, name, before, after, *ids, Standing.new(ids[1]).text()]))


def active(found: Iterable[tuple[Webhook, Standing]], event: str) -> list[Webhook]:
    """Those that are to hear of an event."""
    return [webhook for webhook, standing in found if event in webhook.events and standing.disabled_since is None]


def described(webhook: Webhook, standing: Standing) -> dict[str, Any]:
    """A webhook as its caller sees it: never with its secret."""
    return {
        "name": webhook.name,
        "address": webhook.address,
        "events": list(webhook.events),
        "created": webhook.created,
        "status": "active" if standing.disabled_since is None else "disabled",
        "last_success": standing.last_success,
        "last_failure": standing.last_failure,
        "last_reason": standing.last_reason,
        "disabled_since": standing.disabled_since,
    }
