"""Estimates: figures at once."""

from __future__ import annotations

from service.openapi.calls.call import Item, call, json_answer, request_body
from service.openapi.responses import problem_answers


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/estimates": {"post": _estimate()},
    }


def _estimate() -> Item:
    return call(
        "estimateBait",
        "Estimates",
        "Estimate a bait",
        "Every figure and check that needs no solid, at once. The answer has the form of a bait without "
        "files; nothing is kept.",
        {
            "200": json_answer("Bait", "The figures."),
            **problem_answers(400, 405, 408, 413, 415, 422, 500, 503),
        },
        requestBody=request_body(),
    )
