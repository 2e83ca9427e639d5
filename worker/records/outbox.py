"""The outbox: what has ended and is to be told, and what is being told to whom."""

from __future__ import annotations

import hashlib
import json
import logging
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any, Literal, cast

from redis import Redis

from worker.records import outbox_scripts
from worker.records.names import OUTBOX
from worker.records.trace import read_traceparent
from worker.records.webhooks import EVENTS, Standing, WebhookBook, active

AT_ONCE = 100
LOOKED_AT = 500  # webhooks that may be leased to others before one that is free
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Message:
    """One event for one webhook; `body` stays the same to the byte however often it is sent."""

    webhook: str  # the id
    name: str
    type: str
    body: str
    trace: str | None
    tries: int = 0
    begun: str | None = None  # when it was first tried, RFC 3339


@dataclass(frozen=True, slots=True)
class Claim:
    """A message that is ours to send for as long as the lease lasts."""

    caller: str
    message_id: str
    message: Message

    @property
    def name(self) -> str:
        """The webhook's name, by which its caller knows it."""
        return self.message.name

    @property
    def hook(self) -> str:
        """What the store calls it: one that is forgotten and put anew is another."""
        return f"{self.caller}:{self.message.webhook}"


Verdict = Literal["done", "again", "stop"]


class Outbox:
    """For couriers: any number of them share a store. Errors of the store's client pass through."""

    def __init__(self, connection: Redis) -> None:
        self._connection = connection
        self._book = WebhookBook(connection)
        self._fan_out = connection.register_script(outbox_scripts.FAN_OUT)
        self._claim = connection.register_script(outbox_scripts.CLAIM)
        self._settle = connection.register_script(outbox_scripts.SETTLE)

    def fan_out(self, now: float) -> int:
        """Make messages of what has ended, one for each webhook that is to hear of it; returns how many endings."""
        entries = cast("list[tuple[bytes, dict[bytes, bytes]]]", self._connection.xrange(OUTBOX, count=AT_ONCE))
        for entry, fields in entries:
            told = {key.decode(): value.decode() for key, value in fields.items()}
            caller, event = told["caller"], EVENTS[told["state"]]
            arguments: list[str | bytes | float] = [entry, now, caller]
            for webhook in active(self._book.all(caller), event):
                message = Message(webhook.id, webhook.name, event, _body(event, told), read_traceparent(told["trace"]))
                arguments += [webhook.id, _message_id(entry, told), json.dumps(asdict(message))]
            if dropped := self._fan_out(args=arguments):
                _log.warning("too much waits for a webhook", extra={"caller": caller, "dropped": dropped})
        return len(entries)

    def claim(self, now: float, lease_s: float) -> Claim | None:
        """The next message that is due, of a webhook that nobody sends to at present."""
        found = [one.decode() for one in cast("list[bytes]", self._claim(args=[now, now + lease_s, LOOKED_AT]))]
        if not found:
            return None
        return Claim(found[0].partition(":")[0], found[1], Message(**json.loads(found[2])))

    def settle(
        self,
        claim: Claim,
        verdict: Verdict,
        counted: str,
        before: Standing | None = None,
        standing: Standing | None = None,
        due: float = 0.0,
        begun: str | None = None,
    ) -> None:
        """Say what became of it. `due` and `begun` are for one that is tried again.

        `standing` is noted where the webhook still stands as `before`; "stop" is "done" where it does not.
        """
        message = replace(claim.message, tries=claim.message.tries + 1, begun=claim.message.begun or begun)
        text = json.dumps(asdict(message))
        about: list[str | float] = [claim.hook, claim.message_id, verdict, due, text, claim.caller, message.webhook]
        standings = ["" if one is None else one.text() for one in (before, standing)]
        self._settle(args=[*about, *standings, counted])

    def wait(self, seconds: float) -> None:
        """Until there is an ending in the outbox, or the time is up."""
        self._connection.xread({OUTBOX: "0-0"}, count=1, block=max(1, int(seconds * 1000)))


def _body(event: str, told: Mapping[str, str]) -> str:
    """A thin payload: what is asked for with it is answered to the caller's key alone."""
    data: dict[str, Any] = {
        "id": told["bait"],
        "status": told["state"],
        "attempt": int(told["attempt"]),
        "links": {"self": f"/v1/baits/{told['bait']}"},
    }
    if told["problem"]:
        data["problem"] = json.loads(told["problem"])
    return json.dumps({"type": event, "timestamp": told["finished"], "data": data}, separators=(",", ":"))


def _message_id(entry: bytes, told: Mapping[str, str]) -> str:
    """The same for the same ending, however often it is made a message of."""
    of = f"{told['caller']}:{told['bait']}:{told['attempt']}:{told['finished']}:".encode() + entry
    return f"msg_{hashlib.sha256(of).hexdigest()[:32]}"
