"""Whether a webhook's call is the service's: the Standard Webhooks specification, symmetric signatures (`v1`)."""

from __future__ import annotations

import base64
import binascii
import hashlib
import hmac
import json
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from pourwright_client.errors import NotSigned
from pourwright_client.problem import Problem
from pourwright_client.records import Json

PREFIX = "whsec_"
TOLERANCE_S = 300.0
"""How far the sender's clock may be off, or the call be late; older ones could be somebody's recording."""


@dataclass(frozen=True, slots=True)
class Event:
    """What happened. `message` is the same however often it is sent: do once what you do for it.

    `about` is the id of the bait or the fit, `status` how it ended, `timestamp` when (RFC 3339).
    """

    message: str
    type: str
    timestamp: str
    about: str
    status: str
    links: Mapping[str, str]
    problem: Problem | None
    raw: Json = field(default_factory=dict, repr=False, compare=False)


def verify(
    headers: Mapping[str, str],
    body: bytes,
    secrets: str | Iterable[str],
    *,
    tolerance_s: float = TOLERANCE_S,
    now: float | None = None,
) -> Event:
    """The event of a call, if one of the secrets signed it not long ago. Raises NotSigned.

    Arguments:
        headers: of the call, in any case.
        body: its bytes as they came, before anybody has parsed and written them anew.
        secrets: one `whsec_...`, or several while they change: each of them is good.
        now: seconds since 1970, in place of the clock's.
    """
    message = require_signed(headers, body, secrets, tolerance_s=tolerance_s, now=now)
    try:
        told = json.loads(body)
        data = told["data"]
        problem = Problem.read(data["problem"]) if data.get("problem") else None
        return Event(message, told["type"], told["timestamp"], data["id"], data["status"], data["links"], problem, told)
    except (ValueError, KeyError, TypeError, AttributeError) as reason:
        raise NotSigned(f"it is signed and yet no event of ours: {reason!r}") from reason


def require_signed(
    headers: Mapping[str, str],
    body: bytes,
    secrets: str | Iterable[str],
    *,
    tolerance_s: float = TOLERANCE_S,
    now: float | None = None,
) -> str:
    """The `webhook-id` of a call that one of the secrets signed not long ago, whatever is in it. Raises NotSigned."""
    told = {name.lower(): value for name, value in headers.items()}
    message = told.get("webhook-id", "")
    sent_at = told.get("webhook-timestamp", "")
    if not (message and sent_at.isascii() and sent_at.isdigit() and len(sent_at) < 16):
        raise NotSigned("webhook-id and webhook-timestamp are not there, or cannot be read")
    if abs((time.time() if now is None else now) - int(sent_at)) > tolerance_s:
        raise NotSigned("it was sent too long ago, or a clock is off")
    given = [part[3:].encode() for part in told.get("webhook-signature", "").split() if part.startswith("v1,")]
    signed = f"{message}.{sent_at}.".encode() + body
    good = False
    for secret in [secrets] if isinstance(secrets, str) else secrets:
        expected = base64.b64encode(hmac.digest(_key(secret), signed, hashlib.sha256))
        for one in given:  # all of them, each in constant time: how long it takes tells nothing
            good |= hmac.compare_digest(expected, one)
    if not good:
        raise NotSigned("none of the secrets signed it")
    return message


def _key(secret: str) -> bytes:
    """Raises ValueError for what is no secret: that is our own fault and not the caller's."""
    try:
        key = base64.b64decode(secret.removeprefix(PREFIX), validate=True)
    except binascii.Error:
        key = b""
    if not key:
        raise ValueError(f"a secret is {PREFIX} and base64")
    return key
