"""The problem answers that operations share, one for each status of the table in `service.problems`."""

from __future__ import annotations

from typing import Any

from service.problems import MEDIA_TYPE

_RETRY_AFTER = {"Retry-After": {"description": "Seconds after which to ask again.", "schema": {"type": "integer"}}}
# Also on the answers that were within the limit, where calls with keys are counted.
_RATE = {
    "RateLimit-Policy": {"description": "`q` calls in `w` seconds.", "schema": {"type": "string"}},
    "RateLimit": {"description": "`r` calls are left, for `t` seconds.", "schema": {"type": "string"}},
}

_PROBLEMS: dict[int, tuple[str, str]] = {
    400: ("Malformed", "The body is not JSON that can be read, or a header is not what its standard says."),
    401: ("KeyMissing", "The service has keys, and none was sent, or one that is unknown, revoked or expired."),
    403: (
        "ScopeMissing",
        "The key is good but does not open this call, and `WWW-Authenticate` names the scope; or a link has expired.",
    ),
    404: ("NotFound", "There is nothing here for this caller."),
    405: ("MethodNotAllowed", "The resource does not take this method; `Allow` lists those that it takes."),
    408: ("RequestTimeout", "The body stopped coming."),
    409: (
        "Conflict",
        "The name is a built-in one's, or there are as many as a caller may keep; the batch has not ended; or the "
        "first request with this `Idempotency-Key` has not been answered yet.",
    ),
    410: ("Expired", "The file has been cleared away; the same POST builds it again."),
    412: (
        "PreconditionFailed",
        "`If-Match` names another version, or `If-None-Match` of a change the present one.",
    ),
    413: ("TooLarge", "The body is above the limit."),
    415: ("UnsupportedMediaType", "The body is not plain `application/json`."),
    416: ("RangeNotSatisfiable", "The range begins after the end of the file."),
    421: ("Misdirected", "The service has no keys, and `Host` is not this machine's own name for itself."),
    422: (
        "Invalid",
        "Wrong values, every one named in `errors`; or, with the type `urn:pourwright:problem:infeasible`, "
        "values that are each allowed but cannot stand together; or an `Idempotency-Key` that belongs to "
        "another request.",
    ),
    429: ("RateExceeded", "The key's caller has asked for as much as it may this minute; nothing was taken."),
    500: ("Fault", "A fault of ours."),
    503: ("NotNow", "The store is away, no worker is alive, too much is waiting already, or the keys cannot be read."),
}


def responses() -> dict[str, Any]:
    """`components.responses`."""
    return {name: _problem(status, description) for status, (name, description) in _PROBLEMS.items()}


def problem_answers(*statuses: int) -> dict[str, Any]:
    """References to the shared problem answers of these statuses, for an operation's `responses`."""
    return {str(status): {"$ref": f"#/components/responses/{_PROBLEMS[status][0]}"} for status in sorted(statuses)}


def content_answers(called: str, headers: dict[str, Any], *media_types: str) -> dict[str, Any]:
    """The answers that carry bytes: the whole, `file` say, and a range of it."""
    content: dict[str, Any] = {media_type: {} for media_type in media_types}
    return {
        "200": {"description": f"The {called}.", "headers": headers, "content": content},
        "206": {"description": "The range that was asked for.", "headers": headers, "content": content},
    }


def head_answer(headers: dict[str, Any]) -> dict[str, Any]:
    """The answer to HEAD."""
    return {"200": {"description": "The headers.", "headers": headers}}


def _problem(status: int, description: str) -> dict[str, Any]:
    answer: dict[str, Any] = {
        "description": description,
        "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    }
    headers: dict[str, Any] = {}
    if status == 503:
        headers = dict(_RETRY_AFTER)
    elif status == 429:
        headers = {**_RETRY_AFTER, **_RATE}
    elif status in (401, 403):
        headers = {"WWW-Authenticate": {"description": "RFC 6750: `Bearer`.", "schema": {"type": "string"}}}
    elif status == 405:
        headers = {"Allow": {"description": "The methods that the resource takes.", "schema": {"type": "string"}}}
    elif status == 416:
        headers = {"Content-Range": {"description": "`bytes */` and the length.", "schema": {"type": "string"}}}
    return {**answer, "headers": headers} if headers else answer
