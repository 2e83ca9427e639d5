"""How bodies and headers are written."""

from __future__ import annotations

import json
import uuid

JSON_BODY = {"Content-Type": "application/json"}


def encoded(request: object) -> bytes:
    """A body. Raises ValueError for what JSON cannot hold: NaN, infinity."""
    return json.dumps(request, allow_nan=False, ensure_ascii=False).encode()


def idempotent(key: str | None) -> dict[str, str]:
    """The header, with a key of its own unless one is given. Raises ValueError for one that cannot be sent."""
    key = uuid.uuid4().hex if key is None else key
    if not (0 < len(key) <= 255 and key.isascii() and key.isprintable() and not set(key) & set('"\\')):
        raise ValueError("an idempotency key is 1 to 255 printable ASCII characters without quotes and backslashes")
    return {"Idempotency-Key": f'"{key}"'}
