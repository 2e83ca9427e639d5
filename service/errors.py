"""Errors that only HTTP knows. They hang on the tree of `worker.errors`; statuses stand in `problems`."""

from __future__ import annotations

from typing import ClassVar

from worker.errors import PourwrightError, RequestRejected, TryLater, UnknownResource


class UnsupportedMediaType(RequestRejected):
    """A body that says it is something else than plain `application/json`."""

    kind = "unsupported-media-type"
    title = "The body is not of a type that we take"

    def __init__(self, detail: str, accepted: str = "application/json") -> None:
        super().__init__(detail)
        self.accepted = accepted


class MalformedHeader(RequestRejected):
    """A request header that we must understand and cannot read."""

    kind = "malformed-header"
    title = "A header of the request cannot be read"


class NotAllowedIn(PourwrightError):
    """A call without the key that it needs. `challenge` is the answer's `WWW-Authenticate` (RFC 6750, 3)."""

    kind = "not-allowed-in"
    title = "The call needs a key"
    challenge: ClassVar[str] = 'Bearer realm="pourwright"'

    def __init__(self, detail: str, **attributes: str) -> None:
        super().__init__(detail)
        self.attributes = attributes

    @property
    def authenticate(self) -> str:
        """The whole field: the challenge and its attributes, each in quotes."""
        return ", ".join([self.challenge, *(f'{name}="{value}"' for name, value in self.attributes.items())])


class KeyMissing(NotAllowedIn):
    """No `Authorization: Bearer`, or with a token that opens nothing: unknown, revoked, expired."""

    kind = "key-missing"
    title = "The call needs a key that is good"


class ScopeMissing(NotAllowedIn):
    """A good key that does not open this call."""

    kind = "scope-missing"
    title = "The key does not open this call"


class Misdirected(PourwrightError):
    """Without keys, a call by a name that is not this machine's own."""

    kind = "misdirected"
    title = "The call names another host"


class RequestTimeout(RequestRejected):
    """The body stopped coming."""

    kind = "request-timeout"
    title = "The body did not come in time"


class IdempotencyKeyReused(RequestRejected):
    """The same `Idempotency-Key` came with another request."""

    kind = "idempotency-key-reused"
    title = "The idempotency key belongs to another request"


class Unanswered(RequestRejected):
    """The same `Idempotency-Key` came while its first request is still being answered."""

    kind = "unanswered"
    title = "The first request with this key is still being answered"


class NotEnded(PourwrightError):
    """What is asked for is there once the batch has ended."""

    kind = "not-ended"
    title = "The batch has not ended"


class NameTaken(RequestRejected):
    """A caller's own thing cannot have a built-in one's name."""

    kind = "name-taken"
    title = "The name is taken"


class Full(RequestRejected):
    """A caller keeps as many as there may be."""

    kind = "full"
    title = "There is no room for another"


class Expired(UnknownResource):
    """The bait is known, but its file has been cleared away; a new POST builds it again."""

    kind = "expired"
    title = "The file has been cleared away"


class LinkExpired(PourwrightError):
    """A signed link that is ours and whose time is over."""

    kind = "link-expired"
    title = "The link has expired"


class RateExceeded(TryLater):
    """The caller has asked for as much as he may for the present."""

    kind = "rate-exceeded"
    title = "Too many calls"


class KeysUnreadable(TryLater):
    """The file with the keys is there and cannot be read: nobody is let in."""

    kind = "keys-unreadable"
    title = "The service cannot read its keys"


class NotReady(TryLater):
    """The service cannot do its whole work at present."""

    kind = "not-ready"
    title = "The service is not ready"
