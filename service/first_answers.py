"""What is answered to a POST with an `Idempotency-Key`: the first answer again, to the byte, for a day."""

from __future__ import annotations

import base64
import hashlib
import json
import zlib
from collections.abc import Callable
from contextlib import suppress

from flask import Response, request

from service.backing import backing
from worker.errors import StoreUnavailable

_KEPT = ("Content-Type", "Cache-Control", "Location", "Retry-After", "Preference-Applied", "Vary")


def first_answer(caller: str, route: str, key: str | None, raw: bytes, make: Callable[[], Response]) -> Response:
    """The answer that `make` gives, or the one that it gave when this key first came with this body.

    A refusal is not kept: the key is then free. Raises IdempotencyKeyReused or Unanswered.
    """
    if key is None:
        return make()
    replays = backing().replays
    fingerprint = hashlib.sha256(request.mimetype.encode() + b"\n" + raw).hexdigest()
    if (first := replays.begin(caller, route, key, fingerprint)) is not None:
        return _read(first)
    try:
        made = make()
    except BaseException:
        with suppress(StoreUnavailable):  # then it is free again by itself, in two minutes
            replays.abandon(caller, route, key)
        raise
    with suppress(StoreUnavailable):  # what was asked for has been taken all the same
        replays.keep(caller, route, key, fingerprint, _text(made))
    return made


def _text(response: Response) -> str:
    """A whole answer as text: a fit's is tens of kilobytes of numbers, and a tenth of that compressed."""
    headers = {name: response.headers[name] for name in _KEPT if name in response.headers}
    body = base64.b64encode(zlib.compress(response.get_data())).decode()
    return json.dumps({"status": response.status_code, "headers": headers, "body": body})


def _read(text: str) -> Response:
    told = json.loads(text)
    return Response(zlib.decompress(base64.b64decode(told["body"])), told["status"], told["headers"])
