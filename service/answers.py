"""Answers in JSON, with a strong ETag where the same question will be asked again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import TYPE_CHECKING

from flask import Response, request

from service.conditional import not_modified, require_match

if TYPE_CHECKING:
    from wsgiref.types import WSGIEnvironment

    from werkzeug.datastructures import Headers


def encode(body: object) -> bytes:
    """JSON text as we send it: UTF-8, no blanks, and never a NaN."""
    return json.dumps(body, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def json_answer(body: object, status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    """An answer that holds for this moment only: no cache keeps it."""
    fields = {"Content-Type": "application/json", "Cache-Control": "no-store", **(headers or {})}
    return Response(encode(body), status, fields)


def etag_of(content: bytes) -> str:
    """A strong entity tag, quotes included: it changes with any byte."""
    return f'"{hashlib.sha256(content).hexdigest()[:32]}"'


def lasting_answer(content: bytes, etag: str, content_type: str, headers: Mapping[str, str] | None = None) -> Response:
    """An answer that a client may keep and ask about again: 304 where it has it already (RFC 9110)."""
    fields = {"ETag": etag, "Cache-Control": "no-cache", **(headers or {})}
    require_match(request, etag)
    if not_modified(request, etag):
        return _Whole(None, 304, fields)
    return _Whole(content, 200, {"Content-Type": content_type, **fields})


class _Whole(Response):
    """An answer that already has every field it needs, so that Werkzeug need not copy them and look what is missing.

    No `Location`, no status without a body but 304, and that with no field that tells of one: nothing to put right.
    """

    default_mimetype = None

    def get_wsgi_headers(self, environ: WSGIEnvironment) -> Headers:
        """As they are."""
        return self.headers
