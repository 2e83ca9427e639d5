"""A store, a receiver and a courier, for tests of what becomes of a message."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field, replace
from typing import Any

from tests.hooks.receiver import Receiver
from tests.stack import Stack, please
from worker.errors import GeometryFailed
from worker.hooks.courier import Courier
from worker.hooks.sending import Sender
from worker.hooks.signing import new_secret
from worker.records.attempts import Attempts
from worker.records.names import BaitName
from worker.records.webhooks import EVENTS, Webhook, WebhookBook

NUMBERS = itertools.count()
TRACE = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"  # the example of the recommendation


@dataclass
class Bench:
    """A store, a receiver, and a courier whose clock a test turns."""

    records: Stack
    here: Receiver
    now: float = 1_790_000_000.0
    secret: str = field(default_factory=new_secret)

    def __post_init__(self) -> None:
        settings = replace(self.records.settings, webhook_origins=(self.here.origin,), webhook_limit_s=2)
        self.connection = self.records.connection
        self.book = WebhookBook(self.connection)
        self.courier = Courier(settings, self.connection, Sender(2), lambda: self.now, lambda: 0.0)

    def put(self, name: str = "till", events: tuple[str, ...] = tuple(EVENTS.values()), path: str = "/") -> Webhook:
        address = self.here.origin + path
        made = Webhook(
            name=name,
            id=f"id-{name}-{next(NUMBERS)}",
            address=address,
            events=events,
            created="",
            secrets=((self.secret, None),),
        )
        assert self.book.swap("local", name, None, made)
        return made

    def end(self, number: int, how: str = "successful") -> str:
        request = please("nothing", n=number)
        self.records.baits.submit("local", request, trace=TRACE)
        attempts, attempt = Attempts(self.connection), BaitName("local", request.id).attempt(1)
        if how == "dismissed":
            self.records.baits.dismiss("local", request.id)
            return request.id
        with self.connection.pipeline(transaction=True) as transaction:
            attempts.hand(attempt, transaction)
            transaction.execute()
        assert attempts.start(attempt)
        ended = attempts.fail(attempt, GeometryFailed("Not closed.")) if how == "failed" else attempts.succeed(attempt)
        assert ended
        return request.id

    def standing(self, name: str = "till") -> Any:
        found = self.book.get("local", name)
        assert found is not None
        return found[1]

    def waiting(self) -> int:
        return int(self.connection.xlen("pourwright:outbox") + self.connection.zcard("pourwright:hooks-due"))
