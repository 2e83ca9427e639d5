"""Baits: built by a worker, kept with their files."""

from __future__ import annotations

from service.openapi.calls.call import UNCHANGED, Item, call, json_answer, request_body
from service.openapi.headers import BAIT_HEADERS, CONDITIONS, IDEMPOTENCY_KEY, PREFER, WAIT, bait_id
from service.openapi.onward import BAIT_LINKS
from service.openapi.responses import problem_answers


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/baits": {"post": _create()},
        "/v1/baits/{bait_id}": {"parameters": [bait_id()], "get": _show(), "delete": _remove()},
    }


def _create() -> Item:
    return call(
        "createBait",
        "Baits",
        "Build a bait",
        "Equal requests are one bait. With `Prefer: wait=N` the answer comes when the bait has ended or the "
        "time is up. A build that fails is a bait whose `status` is `failed`, with a `problem` inside.",
        {
            "200": json_answer("Bait", "Known, and ended.", BAIT_HEADERS, BAIT_LINKS),
            "201": json_answer("Bait", "New, and ended within the wait.", BAIT_HEADERS, BAIT_LINKS),
            "202": json_answer("Bait", "Under way; ask again at `Location`.", BAIT_HEADERS, BAIT_LINKS),
            **problem_answers(400, 405, 408, 413, 415, 422, 500, 503),
        },
        parameters=[PREFER, IDEMPOTENCY_KEY],
        requestBody=request_body(),
    )


def _show() -> Item:
    return call(
        "getBait",
        "Baits",
        "A bait",
        "As it is now; with a wait, as it is when it has ended or the time is up.",
        {
            "200": json_answer("Bait", "The bait.", BAIT_HEADERS, BAIT_LINKS),
            **UNCHANGED,
            **problem_answers(404, 405, 412, 422, 500, 503),
        },
        parameters=[WAIT, PREFER, *CONDITIONS],
    )


def _remove() -> Item:
    return call(
        "removeBait",
        "Baits",
        "Dismiss or remove a bait",
        "Under way: its `status` becomes `dismissed`. Ended: it is removed with its files.",
        {
            "200": json_answer("Bait", "Dismissed."),
            "204": {"description": "Removed."},
            **problem_answers(404, 405, 500, 503),
        },
    )
