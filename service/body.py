"""Reading the body of a request: its type, its size, its JSON, and nothing else."""

from __future__ import annotations

from flask import request
from gunicorn.http.errors import ParseException
from werkzeug.exceptions import ClientDisconnected, RequestEntityTooLarge

from service.errors import RequestTimeout, UnsupportedMediaType
from worker.errors import MalformedRequest, RequestTooLarge
from worker.request.json_text import parse_json

JSON = ("application/json",)


def read_bytes(media_types: tuple[str, ...] = JSON, limit: int | None = None) -> bytes:
    """The raw body, of one of these types and up to so many bytes; without a limit, up to the usual one.

    Raises UnsupportedMediaType, RequestTooLarge, RequestTimeout or MalformedRequest.
    """
    _require_plain(media_types)
    limit = limit or request.max_content_length or 0
    # One byte more: of a body without a length Werkzeug 3.1 hands on the first bytes up to the limit and says
    # nothing of those behind it.
    request.max_content_length = limit + 1
    try:
        content = request.get_data(cache=False)
    except RequestEntityTooLarge:
        content = None
    except ClientDisconnected:
        raise RequestTimeout("The body stopped before its end.") from None
    except ParseException:  # gunicorn reads the chunks of a body only when we ask for them
        raise MalformedRequest("The chunks of the body are not what RFC 9112 says they are.") from None
    if content is None or len(content) > limit:
        raise RequestTooLarge(f"A body may have up to {limit} bytes; this one has more.")
    return content


def read_json() -> object:
    """The body's one JSON value. Raises also MalformedRequest."""
    return parse_json(read_bytes())


def _require_plain(media_types: tuple[str, ...]) -> None:
    taken = ", ".join(media_types)
    if request.headers.get("Content-Encoding", "identity").strip().lower() != "identity":
        raise UnsupportedMediaType("A body is sent as it is: leave Content-Encoding out.", taken)
    charset = request.mimetype_params.get("charset", "utf-8").lower()
    if request.mimetype not in media_types or charset not in ("utf-8", "utf8"):
        sent = request.headers.get("Content-Type")
        said = "no Content-Type" if not sent else "another Content-Type"
        named = " or ".join(media_types)
        raise UnsupportedMediaType(f"A body is {named} in UTF-8; this one comes with {said}.", taken)
