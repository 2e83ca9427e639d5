"""Every answer that is neither 2xx nor 3xx: an RFC 9457 problem document, made in this one place.

`STATUS_OF` is the one table from error to HTTP status. A test walks the exception tree and fails for an
error that is neither here nor among `NEVER_AN_ANSWER`.
"""

from __future__ import annotations

import json
import logging
import uuid
from collections.abc import Iterable, Mapping

from flask import Flask, Response, current_app, request
from werkzeug.exceptions import HTTPException, MethodNotAllowed, NotFound

from service import errors as here
from worker import errors
from worker.errors import PROBLEM_PREFIX, Fault, PourwrightError, RequestRejected, TryLater

# A body of unknown members would otherwise be answered with ten times its own length.
MOST_FAULTS = 100
MOST_FAULTS_OF_ITEM = 10

MEDIA_TYPE = "application/problem+json"

STATUS_OF: dict[type[PourwrightError], int] = {
    errors.MalformedRequest: 400,
    here.MalformedHeader: 400,
    here.KeyMissing: 401,
    here.ScopeMissing: 403,
    here.LinkExpired: 403,
    errors.UnknownResource: 404,
    here.RequestTimeout: 408,
    here.NameTaken: 409,
    here.Unanswered: 409,
    here.NotEnded: 409,
    here.Full: 409,
    here.Expired: 410,
    errors.RequestTooLarge: 413,
    here.UnsupportedMediaType: 415,
    here.Misdirected: 421,
    errors.InvalidRequest: 422,
    errors.InfeasibleRequest: 422,
    here.IdempotencyKeyReused: 422,
    here.RateExceeded: 429,
    errors.StoreUnavailable: 503,
    errors.ArtifactsUnavailable: 503,
    errors.Busy: 503,
    here.KeysUnreadable: 503,
    here.NotReady: 503,
}

# Roots that only gather others, and errors that end a bait or a start and never a request. Should one come
# through all the same, it is a fault of ours and is answered as one.
NEVER_AN_ANSWER: tuple[type[PourwrightError], ...] = (
    PourwrightError,
    errors.RequestRejected,
    errors.TryLater,
    here.NotAllowedIn,
    errors.SettingsInvalid,
    errors.AddressForbidden,
    errors.BatchUnreadable,
    errors.BuildFailed,
)

# What the framework itself refuses, in our words: status -> (kind, title)
FRAMEWORK_PROBLEMS: dict[int, tuple[str, str]] = {
    400: ("bad-request", "The request cannot be read"),
    404: ("not-found", "There is nothing here"),
    405: ("method-not-allowed", "This cannot be done here"),
    412: ("precondition-failed", "The condition of the request does not hold"),
    413: ("request-too-large", "The body is too large"),
    415: ("unsupported-media-type", "The body is not of a type that we take"),
    416: ("range-not-satisfiable", "The range lies outside the file"),
}

log = logging.getLogger("pourwright.service")


def fault_body(fault: Fault) -> dict[str, object]:
    """One item of `errors`: where (RFC 6901 pointer into the request), what, and what would be allowed."""
    return {
        "pointer": fault.pointer,
        "code": fault.code,
        "detail": fault.detail,
        "allowed": fault.allowed,
    }


def problem(
    status: int,
    kind: str,
    title: str,
    detail: str,
    faults: Iterable[Fault] = (),
    headers: Mapping[str, str] | None = None,
    instance: str | None = None,
) -> Response:
    """One problem document as an answer. Never kept by a cache."""
    listed = sorted(faults, key=lambda fault: fault.pointer)  # the same request, the same answer
    if len(listed) > MOST_FAULTS:
        detail = f"{detail} Of {len(listed)} faults the first {MOST_FAULTS} are listed."
    document: dict[str, object] = {
        "type": PROBLEM_PREFIX + kind,
        "title": title,
        "status": status,
        "detail": detail,
        "errors": [fault_body(fault) for fault in listed[:MOST_FAULTS]],
    }
    if instance is not None:
        document["instance"] = instance
    # Escaped to ASCII: a message may repeat what the caller sent, lone surrogates included.
    response = Response(json.dumps(document, default=str), status, mimetype=MEDIA_TYPE)
    response.headers["Cache-Control"] = "no-store"
    response.headers.update(headers or {})
    return response


def item_problem(error: RequestRejected, faults: list[Fault]) -> dict[str, object]:
    """What is wrong with one item of a batch, as a document inside an answer; it lists fewer faults than one alone."""
    listed = sorted(faults, key=lambda fault: fault.pointer)
    more = f" Of {len(listed)} faults the first {MOST_FAULTS_OF_ITEM} are listed." * (len(listed) > MOST_FAULTS_OF_ITEM)
    return {
        "type": PROBLEM_PREFIX + error.kind,
        "title": error.title,
        "status": STATUS_OF[type(error)],
        "detail": error.detail + more,
        "errors": [fault_body(fault) for fault in listed[:MOST_FAULTS_OF_ITEM]],
    }


def problem_of(error: PourwrightError) -> Response:
    """The answer to one of our own errors."""
    status = STATUS_OF.get(type(error))
    if status is None:
        return _fault_of_ours(error)
    faults = error.faults if isinstance(error, RequestRejected) else ()
    headers = {"Retry-After": str(error.retry_after_s)} if isinstance(error, TryLater) else {}
    if isinstance(error, here.NotAllowedIn):
        headers |= {"WWW-Authenticate": error.authenticate}
    if status == 415:
        accepted = getattr(error, "accepted", "application/json")
        headers |= {"Accept-Post": accepted, "Accept-Encoding": "identity"}  # RFC 9110, 15.5.16
    return problem(status, error.kind, error.title, error.detail, faults, headers)


def _problem_of_framework(error: HTTPException) -> Response:
    status = error.code or 500
    kind, title = FRAMEWORK_PROBLEMS.get(status, (error.name.lower().replace(" ", "-"), error.name))
    kept = {
        name: value for name, value in error.get_headers() if name.lower() in ("allow", "content-range", "retry-after")
    }
    return problem(status, kind, title, _in_our_words(error) or error.description or title, headers=kept)


def _in_our_words(error: HTTPException) -> str | None:
    """What the framework says of an address that nobody answers at helps whoever types one, and calls are written."""
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        return f"This address takes {', '.join(sorted(error.valid_methods))}, and no {request.method[:20]}."
    if not isinstance(error, NotFound) or error.description != NotFound.description:
        return None
    addresses = current_app.create_url_adapter(request)
    if addresses is not None and request.path.endswith("/") and addresses.allowed_methods(request.path.rstrip("/")):
        return "There is no such address; without the slash at its end there is one."
    return "There is no such address; every one that there is stands in /docs and in /v1/openapi.json."


def _fault_of_ours(error: Exception) -> Response:
    # The caller gets a number to quote, the log has the rest under the same number.
    instance = uuid.uuid4().urn
    log.error("unexpected %s, answered as %s", type(error).__name__, instance, exc_info=error)
    return problem(
        500,
        errors.InternalFault.kind,
        errors.InternalFault.title,
        "The request met a fault of ours. Nothing is known to be wrong with it; the log has the details.",
        instance=instance,
    )


def answer_error(error: Exception) -> Response:
    """The one handler: our own errors, the framework's refusals, and whatever nobody expected."""
    if isinstance(error, PourwrightError):
        return problem_of(error)
    if isinstance(error, HTTPException):
        return _problem_of_framework(error)
    return _fault_of_ours(error)


def register(app: Flask) -> None:
    """Let every error of this application end in a problem document, under test and in service alike."""
    app.register_error_handler(Exception, answer_error)
