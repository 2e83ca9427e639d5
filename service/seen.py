"""What is seen of a request from outside: its number, its trace, a line in the log, and counts.

Reading calls that went well are logged at `debug` alone, for a service answers thousands of them a second and the
proxy in front keeps its own list. No line has a header, a query or a body in it.
"""

from __future__ import annotations

import logging
import re
import time
import uuid

from flask import Flask, Response, current_app, g, request

from service.metrics import count_request
from worker.records.logs import tell_besides, tell_nothing_besides
from worker.records.trace import next_traceparent, read_traceparent, trace_id

REQUEST_ID = "X-Request-Id"
_GIVEN = re.compile(r"[A-Za-z0-9._-]{1,64}", re.ASCII)
_COUNTED = "POURWRIGHT_COUNTED"
_log = logging.getLogger("pourwright.service")


def register(app: Flask, counted: bool) -> None:
    """Number and log every request of this application, and count them where somebody may ask for the counts."""
    app.config[_COUNTED] = counted
    app.before_request(_begin)
    app.after_request(_end)
    app.teardown_request(lambda _: tell_nothing_besides())


def current_trace() -> str:
    """The `traceparent` under which what this request sets off goes on."""
    return str(g.trace)


def _begin() -> None:
    """Before all else: a caller's number and trace are taken on, so that his logs and ours are found together."""
    g.begun = time.perf_counter()
    given = request.headers.get(REQUEST_ID, "")
    g.request_id = given if _GIVEN.fullmatch(given) else uuid.uuid4().hex
    g.trace = next_traceparent(read_traceparent(request.headers.get("traceparent")))
    tell_nothing_besides()
    tell_besides(request=g.request_id, trace=trace_id(g.trace))


def _end(response: Response) -> Response:
    took = time.perf_counter() - g.begun
    route = "none" if request.url_rule is None else request.url_rule.rule
    if current_app.config[_COUNTED]:
        count_request(request.method, route, response.status_code, took)
    response.headers[REQUEST_ID] = g.request_id
    level = logging.DEBUG if request.method in ("GET", "HEAD", "OPTIONS") else logging.INFO
    if response.status_code >= 500:
        level = logging.WARNING
    if _log.isEnabledFor(level):
        caller = getattr(g, "caller", None)
        said: dict[str, object] = {
            "method": request.method if len(request.method) <= 16 else "other",
            "route": route,
            "status": response.status_code,
            "ms": round(took * 1000, 1),
        }
        if caller is not None:
            said["caller"] = caller.name
        if request.view_args and "bait_id" in request.view_args:
            said["bait"] = str(request.view_args["bait_id"])[:64]
        _log.log(level, "answered", extra=said)
    return response
