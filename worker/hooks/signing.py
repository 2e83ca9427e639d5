"""Secrets and signatures as the Standard Webhooks specification has them (symmetric, `v1`)."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from collections.abc import Iterable

PREFIX = "whsec_"
BYTES = 32  # the specification asks for 24 to 64


def new_secret() -> str:
    """A secret as it is shown to a caller."""
    return PREFIX + base64.b64encode(secrets.token_bytes(BYTES)).decode()


def signature(secret: str, message_id: str, timestamp: int, body: bytes) -> str:
    """One signature of `{id}.{timestamp}.{body}`."""
    key = base64.b64decode(secret.removeprefix(PREFIX))
    signed = f"{message_id}.{timestamp}.".encode() + body
    return "v1," + base64.b64encode(hmac.digest(key, signed, hashlib.sha256)).decode()


def signed_headers(keys: Iterable[str], message_id: str, timestamp: int, body: bytes) -> dict[str, str]:
    """The three headers; a signature by each secret that holds at present, so that a change of it loses nothing."""
    return {
        "webhook-id": message_id,
        "webhook-timestamp": str(timestamp),
        "webhook-signature": " ".join(signature(key, message_id, timestamp, body) for key in keys),
    }
