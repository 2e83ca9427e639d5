"""How the page calls where the service has keys: through one key that the settings name, and that no browser sees.

`POURWRIGHT_TRY_KEY` has the id of a key, which opens nothing, and not its token. Whoever is given the page is given
a cookie that says until when it is good, signed as links are; scripts cannot read it, and other sites cannot have
it sent (HttpOnly, SameSite=Strict). A call without a key of its own that brings it is the named key's: its caller,
its scopes, its rate. So the page is open to whoever reaches it, at that key's rate for all of them together, and
closed at once when the key is revoked. It opens what the page needs and no more, whatever the key opens besides:
nothing is removed, linked, or kept by name through it. What changes something must carry a header too that a form
cannot send, nor a page of another origin without our leave.
"""

from __future__ import annotations

import re
import secrets
import time

from flask import Response, request

from service.backing import backing
from service.keys.key import Key
from service.scopes import Scope

COOKIE = "pourwright_try"
MARK = "X-Pourwright-Page"
GOOD_FOR_S = 12 * 3600
_SIGNED_FOR = "the page"  # with a blank: no caller has this name, so no link can be taken for a session
_FORM = re.compile(r"([0-9]{1,12})\.([A-Za-z0-9_-]{16})\.([A-Za-z0-9_-]{43})", re.ASCII)

OPENED = frozenset(
    {
        ("GET", "/v1/styles"),
        ("GET", "/v1/styles/<style>"),
        ("GET", "/v1/plastics"),
        ("POST", "/v1/estimates"),
        ("POST", "/v1/baits"),
        ("GET", "/v1/baits/<bait_id>"),
        ("GET", "/v1/baits/<bait_id>/files/<name>"),
        ("POST", "/v1/fits"),
        ("GET", "/v1/fits/<fit_id>"),
    }
)
"""The calls of the page, by method and route."""


def page_key(named: str | None) -> Key | None:
    """The key that the settings name, if it may build; None where the page has to stay closed."""
    key = None if named is None else backing().keys.named(named)
    return key if key is not None and {Scope.READ, Scope.BUILD} <= key.scopes else None


def begin(response: Response, key: Key) -> None:
    """Give the page's reader a session."""
    expires, nonce = int(time.time()) + GOOD_FOR_S, secrets.token_urlsafe(12)
    value = f"{expires}.{nonce}.{backing().links.sign(_SIGNED_FOR, key.id, nonce, expires)}"
    response.set_cookie(
        COOKIE, value, max_age=GOOD_FOR_S, path="/", secure=request.is_secure, httponly=True, samesite="Strict"
    )
    response.headers["Cache-Control"] = "private, no-cache"
    response.vary.add("Cookie")


def visitor_key(named: str | None) -> Key | None:
    """The key through which this call of the page goes; None where it is none, or none that the page may make."""
    rule, sent = request.url_rule, request.cookies.get(COOKIE)
    if named is None or sent is None or rule is None:
        return None
    method = "GET" if request.method == "HEAD" else request.method
    if (method, rule.rule) not in OPENED or (method != "GET" and MARK not in request.headers):
        return None
    found = _FORM.fullmatch(sent)
    if found is None or int(found[1]) < time.time():
        return None
    if not backing().links.holds(found[3], _SIGNED_FOR, named, found[2], int(found[1])):
        return None
    return page_key(named)
