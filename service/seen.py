"""What is seen of a request from outside: its number, its trace, a line in the log, and counts.

Reading calls that went well are logged at `debug` alone, for a service answers thousands of them a second and the
proxy in front keeps its own list. No line has a header, a query or a body in it.
"""

from __future__ import annotations

import logging
import os
import re
import time
from dataclasses import dataclass

from flask import Flask, Response, g, request

from service.metrics import count_request
from worker.records.logs import tell_nothing_besides, tell_only
from worker.records.names import KINDS
from worker.records.trace import next_traceparent, read_traceparent, trace_id

REQUEST_ID = "X-Request-Id"
_GIVEN = re.compile(r"[A-Za-z0-9._-]{1,64}", re.ASCII)
_READING = frozenset({"GET", "HEAD", "OPTIONS"})
_log = logging.getLogger("pourwright.service")


class _Trace:
    """The `traceparent` of a request, read or made when somebody first wants it; most that only read want none."""

    __slots__ = ("_given", "_ours")

    def __init__(self, given: str | None) -> None:
        self._given = given
        self._ours: str | None = None

    @property
    def parent(self) -> str:
        """What goes on."""
        if self._ours is None:
            self._ours = next_traceparent(read_traceparent(self._given))
        return self._ours

    def __str__(self) -> str:
        """As lines of the log tell it."""
        return trace_id(self.parent)


@dataclass(slots=True)
class _Seen:
    begun: float
    number: str
    trace: _Trace


def register(app: Flask, counted: bool) -> None:
    """Number and log every request of this application, and count them where somebody may ask for the counts."""

    def end(response: Response) -> Response:
        return _end(response, counted)

    app.before_request(_begin)
    app.after_request(end)


def current_trace() -> str:
    """The `traceparent` under which what this request sets off goes on."""
    seen: _Seen = g.seen
    return seen.trace.parent


def _begin() -> None:
    """Before all else: a caller's number and trace are taken on, so that his logs and ours are found together."""
    # All of this costs every answer out of memory, too: the fields as the server has them, and nothing before its time.
    environ = request.environ
    given = environ.get("HTTP_X_REQUEST_ID", "")
    number = given if _GIVEN.fullmatch(given) else os.urandom(16).hex()
    g.seen = seen = _Seen(time.perf_counter(), number, _Trace(environ.get("HTTP_TRACEPARENT")))
    tell_only(request=number, trace=seen.trace)


def _end(response: Response, counted: bool) -> Response:
    seen: _Seen = g.seen
    response.headers.add(REQUEST_ID, seen.number)
    method, status = request.method, response.status_code
    level = logging.WARNING if status >= 500 else logging.DEBUG if method in _READING else logging.INFO
    logged = _log.isEnabledFor(level)
    if counted or logged:
        took = time.perf_counter() - seen.begun
        rule = request.url_rule
        route = "none" if rule is None else rule.rule
        if counted:
            count_request(method, route, status, took)
        if logged:
            _tell(level, method, route, status, took)
    tell_nothing_besides()  # its thread serves another's next
    return response


def _tell(level: int, method: str, route: str, status: int, took: float) -> None:
    caller = getattr(g, "caller", None)
    said: dict[str, object] = {
        "method": method if len(method) <= 16 else "other",
        "route": route,
        "status": status,
        "ms": round(took * 1000, 1),
    }
    if caller is not None:
        said["caller"] = caller.name
    asked = request.view_args or {}
    said |= {kind: str(asked[f"{kind}_id"])[:64] for kind in KINDS if f"{kind}_id" in asked}
    _log.log(level, "answered", extra=said)
