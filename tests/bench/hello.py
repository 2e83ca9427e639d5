"""The least that can stand in the service's place: one WSGI application that says hello."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

BODY = b'{"hello": "bait"}'


def app(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
    """Every request gets the same answer."""
    start_response("200 OK", [("Content-Type", "application/json"), ("Content-Length", str(len(BODY)))])
    return [BODY]
