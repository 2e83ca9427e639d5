"""What a caller sends to keep a webhook, read strictly, and what OpenAPI says of it."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from worker.errors import AddressForbidden, Fault, InvalidRequest
from worker.hooks.addresses import LONGEST, read_address
from worker.records.webhooks import EVENT_NAMES

MOST = 20
"""Webhooks that one caller may keep."""
NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,63}")


@dataclass(frozen=True, slots=True)
class Definition:
    """What was asked for."""

    address: str
    events: tuple[str, ...]
    new_secret: bool


def require_name(name: str) -> None:
    """Raise InvalidRequest for what cannot be a webhook's name."""
    if NAME.fullmatch(name) is None:
        detail = "A webhook's name is 1 to 64 of a-z, 0-9, _ and -, and begins with a letter or a digit."
        raise InvalidRequest(detail, [Fault("", "not-a-name", detail, {"pattern": f"^{NAME.pattern}$"})])


def read_definition(body: object, listed: Collection[str] = ()) -> Definition:
    """A definition. Raises InvalidRequest with every fault at once; no name is resolved for it."""
    if not isinstance(body, dict):
        raise _invalid([Fault("", "wrong-type", "A webhook is an object.", "object")])
    faults = [
        Fault(
            f"/{_escaped(name)}", "unknown-member", "A webhook has no such member.", ["address", "events", "new_secret"]
        )
        for name in body
        if name not in ("address", "events", "new_secret")
    ]
    address, events, new_secret = (
        body.get("address"),
        body.get("events", list(EVENT_NAMES)),
        body.get("new_secret", False),
    )
    if not isinstance(address, str):
        missing = "address" not in body
        detail = "A webhook needs an address." if missing else "An address is text."
        faults.append(Fault("/address", "missing" if missing else "wrong-type", detail, "string"))
    else:
        try:
            read_address(address, listed)
        except AddressForbidden as refused:
            faults.append(Fault("/address", AddressForbidden.kind, refused.detail, "https://, a public host"))
    if not isinstance(events, list) or not events:
        faults.append(Fault("/events", "wrong-type", "The events are a list of at least one.", list(EVENT_NAMES)))
    else:
        faults += [
            Fault(f"/events/{place}", "unknown-event", "There is no such event.", list(EVENT_NAMES))
            for place, event in enumerate(events)
            if event not in EVENT_NAMES
        ]
    if not isinstance(new_secret, bool):
        faults.append(Fault("/new_secret", "wrong-type", "`new_secret` is true or false.", "boolean"))
    if faults:
        raise _invalid(faults)
    assert isinstance(address, str) and isinstance(events, list)
    return Definition(address, tuple(name for name in EVENT_NAMES if name in events), bool(new_secret))


def definition_schema() -> dict[str, Any]:
    """The same for OpenAPI."""
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["address"],
        "properties": {
            "address": {
                "type": "string",
                "maxLength": LONGEST,
                "description": "https, a public host, port 443 or 8443. Redirects are not followed.",
            },
            "events": {
                "type": "array",
                "minItems": 1,
                "items": {"type": "string", "enum": list(EVENT_NAMES)},
                "default": list(EVENT_NAMES),
                "description": "What to hear of.",
            },
            "new_secret": {
                "type": "boolean",
                "default": False,
                "description": "Make another secret and show it; the old one signs beside it for a day.",
            },
        },
    }


def _invalid(faults: list[Fault]) -> InvalidRequest:
    counted = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
    return InvalidRequest(f"The webhook has {counted}; `errors` names each one.", faults)


def _escaped(member: str) -> str:
    return member.replace("~", "~0").replace("/", "~1")
