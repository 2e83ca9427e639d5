"""Holding callers with keys to so many calls a minute.

Counted are the calls that cost or that leave something behind: estimates, measurements (which make estimates), new
baits, batches and fits, links, and changes of what a caller keeps by name. A GET is not: it is answered out of memory
or waits in one of few places, and to count it would cost the store more than to answer it.
Without keys nothing is counted.
"""

from __future__ import annotations

from collections.abc import Mapping

from flask import Response, after_this_request, g, request

from service.backing import backing
from service.errors import RateExceeded

COUNTED: Mapping[tuple[str, str], str] = {
    ("POST", "/v1/estimates"): "estimates",
    ("POST", "/v1/plastics/<name>/measurements"): "estimates",
    ("POST", "/v1/baits"): "baits",
    ("POST", "/v1/batches"): "batches",
    ("POST", "/v1/fits"): "fits",
    ("POST", "/v1/links"): "links",
    ("PUT", "/v1/plastics/<name>"): "changes",
    ("DELETE", "/v1/plastics/<name>"): "changes",
    ("PUT", "/v1/styles/<style>"): "changes",
    ("DELETE", "/v1/styles/<style>"): "changes",
    ("PUT", "/v1/webhooks/<name>"): "changes",
    ("DELETE", "/v1/webhooks/<name>"): "changes",
}
"""Which calls are counted, and under which policy's name."""


def count_call() -> None:
    """Run before every request, once its caller is settled. Raises RateExceeded."""
    caller = g.caller
    if caller is None or caller.key is None or request.url_rule is None:
        return
    policy = COUNTED.get((request.method, request.url_rule.rule))
    standing = None if policy is None else backing().rates.count(policy, caller.name)
    if standing is None:
        return

    def tell(response: Response) -> Response:
        response.headers.update(standing.fields)
        return response

    after_this_request(tell)
    if standing.exceeded:
        raise RateExceeded(
            f"{standing.quota} {standing.policy} a minute are as many as a caller may ask for; nothing was taken.",
            retry_after_s=standing.ends_in_s,
        )
