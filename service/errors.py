"""Errors that only HTTP knows. They hang on the tree of `worker.errors`; statuses stand in `problems`."""

from __future__ import annotations

from worker.errors import RequestRejected, TryLater, UnknownResource


class UnsupportedMediaType(RequestRejected):
    """A body that says it is something else than plain `application/json`."""

    kind = "unsupported-media-type"
    title = "The body is not of a type that we take"


class MalformedHeader(RequestRejected):
    """A request header that we must understand and cannot read."""

    kind = "malformed-header"
    title = "A header of the request cannot be read"


class RequestTimeout(RequestRejected):
    """The body stopped coming."""

    kind = "request-timeout"
    title = "The body did not come in time"


class IdempotencyKeyReused(RequestRejected):
    """The same `Idempotency-Key` came with another request."""

    kind = "idempotency-key-reused"
    title = "The idempotency key belongs to another request"


class Expired(UnknownResource):
    """The bait is known, but its file has been cleared away; a new POST builds it again."""

    kind = "expired"
    title = "The file has been cleared away"


class NotReady(TryLater):
    """The service cannot do its whole work at present."""

    kind = "not-ready"
    title = "The service is not ready"
