"""Pages of other origins: which of them a browser may let read our answers (the CORS protocol of the Fetch standard).

Only the origins that the setting names, each compared whole: none by default. No credentials in the standard's sense
are asked for: there are no cookies here, and a key is a header that the page's own script sends.
"""

from __future__ import annotations

from flask import Flask, Response, request
from werkzeug.datastructures import HeaderSet

ALLOWED_HEADERS = (
    *("Authorization", "Content-Type", "Idempotency-Key", "If-Match", "If-None-Match", "If-Range"),
    *("Prefer", "Range", "traceparent", "X-Request-Id"),
)
# What a script may read besides the few that the standard always lets it.
EXPOSED_HEADERS = (
    *("Accept-Ranges", "Allow", "Content-Disposition", "Content-Range", "ETag", "Location", "Preference-Applied"),
    *("RateLimit", "RateLimit-Policy", "Repr-Digest", "Retry-After", "WWW-Authenticate", "X-Request-Id"),
)
REMEMBERED_S = 7200  # for how long a browser need not ask again; Chromium takes no more


def register(app: Flask, origins: tuple[str, ...]) -> None:
    """Have every answer of this application, problems included, tell these origins that they may read it."""
    if not origins:
        return

    def tell(response: Response) -> Response:
        response.vary.add("Origin")  # also where there was none: a cache may hold this for one that comes with some
        origin = request.headers.get("Origin")
        if origin is None or origin not in origins:
            return response
        response.access_control_allow_origin = origin
        if request.method == "OPTIONS" and request.access_control_request_method:
            # What Flask lists for the address; a browser asks before the call, without the key.
            response.access_control_allow_methods = response.allow
            response.access_control_allow_headers = HeaderSet(ALLOWED_HEADERS)
            response.access_control_max_age = REMEMBERED_S
        else:
            response.access_control_expose_headers = HeaderSet(EXPOSED_HEADERS)
        return response

    app.after_request(tell)
