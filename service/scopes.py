"""What a key may open: one rule from a call to the scope that it needs. OpenAPI is written from the same rule."""

from __future__ import annotations

from enum import StrEnum
from functools import cache


class Scope(StrEnum):
    """`read`: GET and estimates. `build`: baits, batches, fits, links. `admin`: own styles, plastics, webhooks.

    None of them holds another.
    """

    READ = "read"
    BUILD = "build"
    ADMIN = "admin"


SCOPES: tuple[Scope, ...] = tuple(Scope)

_BUILT = ("baits", "batches", "fits", "links")


@cache
def scope_of(method: str, address: str) -> Scope | None:
    """The scope that a call needs; None for those that are open. `address` as the route has it, `/v1/baits/<bait_id>`.

    A resource that this rule does not know needs `admin` for everything but reading: closed until somebody opens it.
    """
    _, version, *rest = address.split("/")
    # An OPTIONS comes from a browser before the call itself, without the key.
    if version != "v1" or rest == ["openapi.json"] or method == "OPTIONS":
        return None
    if rest[0] == "links" and method in ("GET", "HEAD"):
        return None  # the signature is the key
    if rest[0] == "styles" and "drawings" in rest[2:]:
        return None  # pictures of the reference page, which a browser fetches without a key
    if method in ("GET", "HEAD") or rest[0] == "estimates":
        return Scope.READ
    return Scope.BUILD if rest[0] in _BUILT else Scope.ADMIN
