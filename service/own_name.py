"""Without keys only this machine may ask, so a call must name it.

A page of the net may have its own host's name resolve to 127.0.0.1; to a browser its script is then of our origin, and
neither CORS nor the loopback address keeps it out. What gives it away is the name by which it calls. So does a proxy
that hands on the name it was called by; one that writes its own does not, and needs keys all the same.
"""

from __future__ import annotations

import re
from functools import lru_cache

from flask import Flask, current_app, request

from service.errors import Misdirected
from worker.settings import Settings

_OURS = ("localhost", "127.0.0.1", "[::1]")
_NAMES = "POURWRIGHT_OWN_NAMES"


def register(app: Flask, settings: Settings) -> None:
    """Note by which names this application may be called."""
    own = f"[{settings.host}]" if ":" in settings.host else settings.host
    app.config[_NAMES] = frozenset({*_OURS, own.lower()})


def require_own_name() -> None:
    """Raises Misdirected (421) where `Host` names another. A call without one comes from no browser."""
    host = request.environ.get("HTTP_HOST")
    if host is not None and not _is_own(host, current_app.config[_NAMES]):
        raise Misdirected(
            "Without keys the service answers its own machine alone, by the name localhost or 127.0.0.1, and this "
            "call names another host. For others make a key: python -m service.keys make --caller NAME."
        )


@lru_cache(256)
def _is_own(host: str, names: frozenset[str]) -> bool:
    # RFC 9110, 7.2: a host and perhaps a port. (Werkzeug 3.1's own check knows no IPv6 address and no capitals.)
    found = re.fullmatch(r"(\[[0-9a-f:.]+\]|[a-z0-9._-]+)(:[0-9]*)?", host.lower())
    return found is not None and found[1] in names
