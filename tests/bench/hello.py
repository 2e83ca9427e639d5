"""The least that can stand in the service's place: a WSGI application that says hello, and one of Flask that does."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from flask import Flask, Response

BODY = b'{"hello": "bait"}'


def app(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
    """Every request gets the same answer."""
    start_response("200 OK", [("Content-Type", "application/json"), ("Content-Length", str(len(BODY)))])
    return [BODY]


flask_app = Flask("hello", static_folder=None)
"""What Flask itself costs: one route, nothing before it and nothing after."""


@flask_app.get("/")
def say_hello() -> Response:
    """The same answer."""
    return Response(BODY, mimetype="application/json")
