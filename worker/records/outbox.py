"""The outbox: what has ended and is to be told, and what is being told to whom."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any, Literal, cast

from redis import Redis

from worker.records import outbox_scripts
from worker.records.names import PREFIX, Kind, kind_of
from worker.records.trace import read_traceparent
from worker.records.webhooks import EVENTS_OF, Standing, WebhookBook, active

OUTBOX = f"{PREFIX}outbox"
HOOKS_DUE = f"{PREFIX}hooks-due"
AT_ONCE = 100
LOOKED_AT = 500  # webhooks that may be leased to others before one that is free


@dataclass(frozen=True, slots=True)
class Message:
    """One event for one webhook; `body` stays the same to the byte however often it is sent."""

    webhook: str  # the id
    type: str
    body: str
    trace: str | None
    tries: int = 0
    begun: str | None = None  # when it was first tried, RFC 3339


@dataclass(frozen=True, slots=True)
class Claim:
    """A message that is ours to send for as long as the lease lasts."""

    caller: str
    name: str
    message_id: str
    message: Message

    @property
    def hook(self) -> str:
        """The webhook's name among all callers'."""
        return f"{self.caller}:{self.name}"


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
            caller, event = told["caller"], EVENTS_OF[_kind(told)][told["state"]]
            arguments: list[str | bytes | float] = [entry, now]
            for webhook in active(self._book.all(caller), event):
                message = Message(webhook.id, event, _body(event, told), read_traceparent(told["trace"]))
                arguments += [f"{caller}:{webhook.name}", _message_id(entry, told), json.dumps(asdict(message))]
            self._fan_out(args=arguments)
        return len(entries)

    def claim(self, now: float, lease_s: float) -> Claim | None:
        """The next message that is due, of a webhook that nobody sends to at present."""
        found = [one.decode() for one in cast("list[bytes]", self._claim(args=[now, now + lease_s, LOOKED_AT]))]
        if not found:
            return None
        caller, _, name = found[0].partition(":")
        return Claim(caller, name, found[1], Message(**json.loads(found[2])))

    def settle(
        self,
        claim: Claim,
        verdict: Verdict,
        standing: Standing,
        counted: str,
        due: float = 0.0,
        begun: str | None = None,
    ) -> None:
        """Say what became of it. `due` and `begun` are for one that is tried again."""
        message = replace(claim.message, tries=claim.message.tries + 1, begun=claim.message.begun or begun)
        text = json.dumps(asdict(message))
        about: list[str | float] = [claim.hook, claim.message_id, verdict, due, text, claim.caller, claim.name]
        self._settle(args=[*about, standing.text(), counted])

    def wait(self, seconds: float) -> None:
        """Until there is an ending in the outbox, or the time is up."""
        self._connection.xread({OUTBOX: "0-0"}, count=1, block=max(1, int(seconds * 1000)))


def _body(event: str, told: Mapping[str, str]) -> str:
    """A thin payload: what is asked for with it is answered to the caller's key alone."""
    data: dict[str, Any] = {
        "id": told["bait"],
        "status": told["state"],
        "attempt": int(told["attempt"]),
        "links": {"self": f"/v1/{_kind(told)}s/{told['bait']}"},
    }
    if told["problem"]:
        data["problem"] = json.loads(told["problem"])
    return json.dumps({"type": event, "timestamp": told["finished"], "data": data}, separators=(",", ":"))


def _kind(told: Mapping[str, str]) -> Kind:
    return kind_of(told.get("lane", ""))  # an ending that was written before there were fits has no lane


def _message_id(entry: bytes, told: Mapping[str, str]) -> str:
    """The same for the same ending, however often it is made a message of."""
    of = f"{told['caller']}:{told['bait']}:{told['attempt']}:{told['finished']}:".encode() + entry
    return f"msg_{hashlib.sha256(of).hexdigest()[:32]}"
