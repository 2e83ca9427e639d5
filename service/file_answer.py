"""A bait's or a fit's file as an answer: tagged, cacheable for ever, resumable, with a name to save it under."""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping
from itertools import chain
from pathlib import Path
from typing import Any

from flask import Response, request, send_file
from werkzeug.http import dump_options_header

from service.backing import backing
from service.conditional import not_modified, require_match, wanted_range
from service.errors import Expired
from service.interfaces import Records
from worker.errors import UnknownResource
from worker.files.stored_archive import Pieces
from worker.records.names import KINDS, Kind
from worker.records.view import BaitView

# The bytes of a finished bait never change: its id is the digest of all that went into them.
FOR_EVER_S = 31_536_000
FOR_EVER = f"public, max-age={FOR_EVER_S}, immutable"
FOR_EVER_FOR_ONE = f"private, max-age={FOR_EVER_S}, immutable"  # what a key opened is nobody else's to keep

SHOWN_IN_PLACE = ("image/", "application/json")


def known_file(caller: str, record_id: str, name: str, kind: Kind = "bait") -> tuple[BaitView, Mapping[str, Any]]:
    """A caller's bait or fit and its manifest's entry of a file. Raises UnknownResource.

    Only a name that the manifest lists is ever looked for on disk.
    """
    records: Records = backing().baits if kind == "bait" else backing().fits
    found = records.view(caller, record_id)
    if found is None:
        raise UnknownResource(f"There is no {kind} of this id.")
    file = next((file for file in found.files if file["name"] == name), None)
    if file is None or found.status != "successful":
        raise UnknownResource(f"The {kind} has no file of this name; those that it has stand in its `files`.")
    return found, file


def begins(bait: BaitView) -> str:
    """What the names of a bait's files begin with where they are saved: which bait it is."""
    return f"{bait.request.get('style', 'bait')}-{bait.id[:8]}"


def answer_file(
    name_begins: str,
    file: Mapping[str, Any],
    find: Callable[[], Path | Pieces],
    cache_control: str,
) -> Response:
    """The file, a range of it, or 304, for the present request.

    It is saved under a name that begins with `name_begins`. `file` is the manifest's entry; `find` tells where the
    bytes lie and is asked only when they are to be sent. Raises Expired (410) where they have been cleared away.
    """
    size = int(file["bytes"])
    etag = f'"{file["sha256"]}"'
    digest = base64.b64encode(bytes.fromhex(file["sha256"])).decode()
    fields = {
        "ETag": etag,
        "Cache-Control": cache_control,
        "Accept-Ranges": "bytes",
        "Repr-Digest": f"sha-256=:{digest}:",  # RFC 9530: of the whole file, also beside a part of it
        "Content-Disposition": _disposition(name_begins, file),
    }
    require_match(request, etag)
    if not_modified(request, etag):
        return Response(status=304, headers=fields)
    part = wanted_range(request, etag, size)
    response = _head(file, size) if request.method == "HEAD" else _content(find, file, part, size)
    response.headers.update(fields)
    return response


def _head(file: Mapping[str, Any], size: int) -> Response:
    response = Response(mimetype=file["media_type"])
    response.content_length = size
    return response


def _content(
    find: Callable[[], Path | Pieces], file: Mapping[str, Any], part: tuple[int, int] | None, size: int
) -> Response:
    try:
        found = find()
    except UnknownResource:
        raise _expired() from None
    if not isinstance(found, Path):
        return _in_pieces(found, file, part, size)
    try:
        # Hands the open file on to the server, which has the kernel send it (sendfile) where it is sent
        # whole.
        response = send_file(found, mimetype=file["media_type"], conditional=False, etag=False)
    except FileNotFoundError:  # the manifest that led here is still there
        raise _expired() from None
    del response.headers["Last-Modified"]  # the time of a rebuild is not the age of the content
    if part is not None:
        # Our own rules have read the header; what is left to Werkzeug is to cut the file.
        as_read = {"REQUEST_METHOD": "GET", "HTTP_RANGE": f"bytes={part[0]}-{part[1]}"}
        response.make_conditional(as_read, accept_ranges=True, complete_length=size)
    return response


def _expired() -> Expired:
    return Expired("This file has been cleared away; the same POST builds it again.")


def _in_pieces(found: Pieces, file: Mapping[str, Any], part: tuple[int, int] | None, size: int) -> Response:
    """Read as it is sent, so that no more than a piece of it is ever in memory."""
    first, last = part or (0, size - 1)
    pieces = found.read(first, last + 1)
    # The first now, while a status can still say that the file has gone or its place does not answer.
    try:
        begun = [piece for piece in (next(pieces, None),) if piece is not None]
    except FileNotFoundError:
        raise _expired() from None
    response = Response(chain(begun, pieces), 206 if part else 200, mimetype=file["media_type"])
    if part is not None:
        response.headers["Content-Range"] = f"bytes {first}-{last}/{size}"
    response.content_length = last - first + 1
    return response


def _disposition(name_begins: str, file: Mapping[str, Any]) -> str:
    """RFC 6266: pictures and figures are shown, models are saved; the name says whose it is."""
    name = str(file["name"])
    stem, dot, ending = name.partition(".")
    saved_as = name_begins + dot + ending if stem in KINDS else f"{name_begins}-{name}"
    kind = "inline" if str(file["media_type"]).startswith(SHOWN_IN_PLACE) else "attachment"
    return dump_options_header(kind, {"filename": saved_as})
