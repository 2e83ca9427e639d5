"""Long texts that seldom change, each packed once and sent so to whoever takes that (RFC 9110, 8.4 and 12.5.3)."""

from __future__ import annotations

import gzip
from collections.abc import Mapping
from dataclasses import dataclass

from flask import Response, request

from service.answers import etag_of, lasting_answer


@dataclass(frozen=True, slots=True)
class PackedText:
    """A body, plain and packed; each has its own entity tag, as RFC 9110, 8.8.3.3 asks."""

    content: bytes
    etag: str
    packed: bytes
    packed_etag: str
    content_type: str


def pack(content: bytes, content_type: str) -> PackedText:
    """A body in both forms; the same bytes whenever it is packed."""
    packed = gzip.compress(content, 9, mtime=0)
    return PackedText(content, etag_of(content), packed, etag_of(packed), content_type)


def packed_answer(text: PackedText, headers: Mapping[str, str] | None = None) -> Response:
    """The form that this request takes, the shorter of those; 304 where the client has that one already."""
    fields = dict(headers or {})
    content, etag = text.content, text.etag
    if len(text.packed) < len(content) and request.accept_encodings.quality("gzip") > 0:
        content, etag = text.packed, text.packed_etag
        fields["Content-Encoding"] = "gzip"
    response = lasting_answer(content, etag, text.content_type, fields)
    response.vary.add("Accept-Encoding")
    return response
