"""Conditional and range requests (RFC 9110, 13 and 14) for resources with a strong ETag and no date.

Written out because Werkzeug 3.1 answers several ranges, and a suffix longer than the file, with 416 where the
standard asks for 200 and 206.
"""

from __future__ import annotations

import re

from flask import Request
from werkzeug.exceptions import PreconditionFailed, RequestedRangeNotSatisfiable
from werkzeug.http import unquote_etag

_RANGE = re.compile(r"(?P<first>[0-9]{1,18})-(?P<last>[0-9]{0,18})|-(?P<suffix>[0-9]{1,18})", re.ASCII)


def require_match(request: Request, etag: str) -> None:
    """Raise PreconditionFailed (412) where `If-Match` names other versions only. The strong comparison."""
    # The server's own fields: the mapping around them answers what is not there by an exception, which is dearer.
    if "HTTP_IF_MATCH" in request.environ and not request.if_match.contains_raw(etag):
        raise PreconditionFailed(f"This is version {etag}; If-Match asks for another.")


def require_conditions(request: Request, etag: str | None, called: str) -> None:
    """`If-Match` and `If-None-Match` before a change (13.1): PreconditionFailed (412) where they do not hold.

    `etag` is the present version's, None where there is nothing yet; of a tag in two parts, `"version.more"`, what
    follows the dot changes by itself and is left out of the comparison.
    """
    if etag is None:
        if "If-Match" in request.headers:
            raise PreconditionFailed(f"There is no such {called}; If-Match asks for one.")
        return
    value = _version(unquote_etag(etag)[0])
    if "If-Match" in request.headers:
        listed = request.if_match
        if not listed.star_tag and value not in map(_version, listed.as_set()):
            raise PreconditionFailed(f"This is version {etag}; If-Match asks for another.")
    if "If-None-Match" in request.headers:
        # 13.1.2: of a list one that matches is enough. The weak comparison.
        listed = request.if_none_match
        if listed.star_tag:
            raise PreconditionFailed(f"There is such a {called} already; If-None-Match asks for it not to be.")
        if value in map(_version, listed.as_set(include_weak=True)):
            raise PreconditionFailed(f"This is version {etag}; If-None-Match asks for another.")


def _version(value: str | None) -> str:
    return (value or "").partition(".")[0]


def not_modified(request: Request, etag: str) -> bool:
    """Whether `If-None-Match` says that the client has this version. The weak comparison."""
    if "HTTP_IF_NONE_MATCH" not in request.environ or request.method not in ("GET", "HEAD"):
        return False
    value, _ = unquote_etag(etag)
    return request.if_none_match.contains_weak(value)


def wanted_range(request: Request, etag: str, length: int) -> tuple[int, int] | None:
    """First and last byte of the one range that this request asks for; None: send the whole.

    The whole is also the answer to several ranges at once, to a unit other than bytes, to what is not a
    range, and to an `If-Range` that does not hold (14.2 lets a server ignore each). Raises
    RequestedRangeNotSatisfiable (416) for a range that begins after the end.
    """
    unit, _, listed = request.headers.get("Range", "").partition("=")
    if request.method != "GET" or unit.strip().lower() != "bytes":
        return None
    if request.headers.get("If-Range", etag).strip() != etag:
        return None
    ranges = [item.strip() for item in listed.split(",") if item.strip()]
    found = _RANGE.fullmatch(ranges[0]) if len(ranges) == 1 else None
    if found is None:
        return None
    if found["suffix"] is not None:
        first, last = max(0, length - int(found["suffix"])), length - 1
    else:
        first, last = int(found["first"]), int(found["last"] or length - 1)
        if found["last"] and last < first:
            return None
    if first >= length:
        raise RequestedRangeNotSatisfiable(length, description=f"The file has {length} bytes; the range starts later.")
    return first, min(last, length - 1)
