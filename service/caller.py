"""Who asks. Everything that is kept belongs to a caller; without keys there is one, `local`."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Response, after_this_request, current_app, g, request

from service.backing import backing
from service.errors import KeyMissing, ScopeMissing
from service.own_name import require_own_name
from service.page.session import visitor_key
from service.scopes import Scope, scope_of

LOCAL = "local"


@dataclass(frozen=True, slots=True)
class Caller:
    """The owner of what this request makes, sees and removes; `key` is the id of the key that let it in."""

    name: str
    key: str | None = None


NOBODY_ELSE = Caller(LOCAL)


def identify_caller() -> None:
    """Run before every request: settle who asks. Raises KeyMissing, ScopeMissing, KeysUnreadable or Misdirected.

    An address that there is not belongs to nobody and goes on to its 404.
    """
    rule = request.url_rule
    needed = None if rule is None else scope_of(request.method, rule.rule)
    if needed is None:
        g.caller = None
    elif backing().keys.used():
        g.caller = _holder(needed)
    else:
        require_own_name()
        g.caller = NOBODY_ELSE


def _holder(needed: Scope) -> Caller:
    sent = request.authorization
    if sent is None and (lent := visitor_key(current_app.config["POURWRIGHT_TRY_KEY"])) is not None:
        after_this_request(_tell_caches)
        return Caller(lent.caller, lent.id)
    if sent is None or sent.type != "bearer" or not sent.token:
        raise KeyMissing("This call needs a key: send it as `Authorization: Bearer` and the key.")
    key = backing().keys.holder(sent.token)
    if key is None:
        detail = "This key opens nothing: it is unknown, revoked or expired."
        raise KeyMissing(detail, error="invalid_token", error_description=detail)
    if needed not in key.scopes:
        detail = f"This call needs a key with the scope {needed}; this one has {', '.join(sorted(key.scopes))}."
        raise ScopeMissing(detail, error="insufficient_scope", scope=needed, error_description=detail)
    after_this_request(_tell_caches)
    return Caller(key.caller, key.id)


def current_caller() -> Caller:
    """The caller of the request that is being answered."""
    caller = g.caller
    assert isinstance(caller, Caller), f"no caller was settled for {request.path}"
    return caller


def _tell_caches(response: Response) -> Response:
    """What one key opened is not the answer to another, not even in one and the same browser."""
    # As text, for to read a list of names and write it anew costs a twentieth of an answer out of memory.
    varies = response.headers.get("Vary")
    response.headers["Vary"] = f"{varies}, Authorization, Cookie" if varies else "Authorization, Cookie"
    return response
