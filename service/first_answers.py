"""What is answered to a POST with an `Idempotency-Key`: the first answer again, for a day."""

from __future__ import annotations

import base64
import hashlib
import json
import zlib
from collections.abc import Callable
from contextlib import suppress
from typing import TypeVar

from flask import Response, request

from service.backing import backing
from worker.errors import StoreUnavailable

_KEPT = ("Content-Type", "Cache-Control", "Location", "Retry-After", "Preference-Applied", "Vary")

Taken = TypeVar("Taken")


def first_answer(
    caller: str,
    route: str,
    key: str | None,
    raw: bytes,
    make: Callable[[], Response],
    body_at: Callable[[str, str | None], bytes | None],
) -> Response:
    """The answer that `make` gives, or the one that it gave when this key first came with this body, to the byte.

    Of what has ended the body is not kept, for it may be long and there may be many: `body_at` tells it by its
    `Location` and label, or None where it has been removed since, and then it is made anew. A refusal is not kept: the
    key is then free. Raises IdempotencyKeyReused or Unanswered.
    """
    return first_taken(caller, route, key, raw, make, _text, lambda told: _again(told, body_at))


def first_taken(
    caller: str,
    route: str,
    key: str | None,
    raw: bytes,
    take: Callable[[], Taken],
    text: Callable[[Taken], str],
    again: Callable[[str], Taken | None],
) -> Taken:
    """What `take` gives, or what it gave first: kept as `text` tells it, read by `again`, None where it is gone.

    What is refused is not kept: the key is then free. Raises IdempotencyKeyReused or Unanswered.
    """
    if key is None:
        return take()
    replays = backing().replays
    fingerprint = hashlib.sha256(request.mimetype.encode() + b"\n" + raw).hexdigest()
    first = replays.begin(caller, route, key, fingerprint)
    if first is not None and (known := again(first)) is not None:
        return known
    try:
        taken = take()
    except BaseException:
        with suppress(StoreUnavailable):  # then it is free again by itself, in two minutes
            replays.abandon(caller, route, key)
        raise
    with suppress(StoreUnavailable):  # what was asked for has been taken all the same
        replays.keep(caller, route, key, fingerprint, text(taken))
    return taken


def _text(response: Response) -> str:
    headers = {name: response.headers[name] for name in _KEPT if name in response.headers}
    told: dict[str, object] = {"status": response.status_code, "headers": headers}
    if response.status_code != 202:
        told["label"] = json.loads(response.get_data()).get("label")  # stands nowhere else
    else:
        told["body"] = base64.b64encode(zlib.compress(response.get_data())).decode()
    return json.dumps(told)


def _again(text: str, body_at: Callable[[str, str | None], bytes | None]) -> Response | None:
    told = json.loads(text)
    kept = told.get("body")
    address = told["headers"]["Location"]
    body = body_at(address, told["label"]) if kept is None else zlib.decompress(base64.b64decode(kept))
    return None if body is None else Response(body, told["status"], told["headers"])
