"""What can be called: one function a resource."""

from __future__ import annotations

from typing import Any

from service.openapi.headers import (
    BAIT_HEADERS,
    CONDITIONS,
    FILE_HEADERS,
    IDEMPOTENCY_KEY,
    PREFER,
    RANGE,
    WAIT,
    bait_id,
    file_name,
    style_name,
)
from service.openapi.responses import problem_answers
from worker.files.table import FILES
from worker.styles import STYLES

Item = dict[str, Any]


def paths() -> dict[str, Item]:
    """Every address with its methods."""
    return {
        "/v1/styles": {"get": _styles()},
        "/v1/styles/{style}": {"parameters": [style_name()], "get": _style()},
        "/v1/plastics": {"get": _plastics()},
        "/v1/estimates": {"post": _estimate()},
        "/v1/baits": {"post": _create()},
        "/v1/baits/{bait_id}": {"parameters": [bait_id()], "get": _show(), "delete": _remove()},
        "/v1/baits/{bait_id}/files/{name}": {
            "parameters": [bait_id(), file_name()],
            "get": _file(),
            "head": _head(),
        },
        "/v1/openapi.json": {"get": _openapi()},
        "/docs": {"get": _reference()},
        "/healthz": {"get": _alive()},
        "/readyz": {"get": _ready()},
    }


def _operation(operation_id: str, tag: str, summary: str, description: str, answers: Item, **members: Any) -> Item:
    return {
        "operationId": operation_id,
        "tags": [tag],
        "summary": summary,
        "description": description,
        **members,
        "responses": answers,
    }


def _json(schema: str, description: str, headers: Item | None = None) -> Item:
    content = {"application/json": {"schema": {"$ref": f"#/components/schemas/{schema}"}}}
    return {"description": description, **({"headers": headers} if headers else {}), "content": content}


_UNCHANGED = {"304": {"description": "The client has this version already."}}


def _request_body() -> Item:
    examples = {style.name: {"summary": style.title, "value": dict(style.example)} for style in STYLES.values()}
    schema = {"$ref": "#/components/schemas/Request"}
    return {"required": True, "content": {"application/json": {"schema": schema, "examples": examples}}}


def _styles() -> Item:
    return _operation(
        "listStyles",
        "Styles and plastics",
        "All styles",
        "Each with its parameters as JSON Schema 2020-12, an example request, and the strands it becomes.",
        {"200": _json("Styles", "The styles."), **_UNCHANGED, **problem_answers(405, 412, 500)},
        parameters=CONDITIONS,
    )


def _style() -> Item:
    return _operation(
        "getStyle",
        "Styles and plastics",
        "One style",
        "Its `params_schema` is good enough to draw a form from.",
        {"200": _json("Style", "The style."), **_UNCHANGED, **problem_answers(404, 405, 412, 500)},
        parameters=CONDITIONS,
    )


def _plastics() -> Item:
    return _operation(
        "listPlastics",
        "Styles and plastics",
        "All plastics",
        "Every figure with a low, a typical and a high value and where it comes from.",
        {"200": _json("Plastics", "The plastics."), **_UNCHANGED, **problem_answers(405, 412, 500)},
        parameters=CONDITIONS,
    )


def _estimate() -> Item:
    return _operation(
        "estimateBait",
        "Estimates",
        "Estimate a bait",
        "Every figure and check that needs no solid, at once. The answer has the form of a bait without "
        "files; nothing is kept.",
        {
            "200": _json("Bait", "The figures."),
            **problem_answers(400, 405, 408, 413, 415, 422, 500, 503),
        },
        requestBody=_request_body(),
    )


def _create() -> Item:
    return _operation(
        "createBait",
        "Baits",
        "Build a bait",
        "Equal requests are one bait. With `Prefer: wait=N` the answer comes when the bait has ended or the "
        "time is up. A build that fails is a bait whose `status` is `failed`, with a `problem` inside.",
        {
            "200": _json("Bait", "Known, and ended.", BAIT_HEADERS),
            "201": _json("Bait", "New, and ended within the wait.", BAIT_HEADERS),
            "202": _json("Bait", "Under way; ask again at `Location`.", BAIT_HEADERS),
            **problem_answers(400, 405, 408, 413, 415, 422, 500, 503),
        },
        parameters=[PREFER, IDEMPOTENCY_KEY],
        requestBody=_request_body(),
    )


def _show() -> Item:
    return _operation(
        "getBait",
        "Baits",
        "A bait",
        "As it is now; with a wait, as it is when it has ended or the time is up.",
        {
            "200": _json("Bait", "The bait.", BAIT_HEADERS),
            **_UNCHANGED,
            **problem_answers(404, 405, 412, 422, 500, 503),
        },
        parameters=[WAIT, PREFER, *CONDITIONS],
    )


def _remove() -> Item:
    return _operation(
        "removeBait",
        "Baits",
        "Dismiss or remove a bait",
        "Under way: its `status` becomes `dismissed`. Ended: it is removed with its files.",
        {
            "200": _json("Bait", "Dismissed."),
            "204": {"description": "Removed."},
            **problem_answers(404, 405, 500, 503),
        },
    )


def _file() -> Item:
    binary: Item = {kind.media_type: {} for kind in FILES.values()}
    return _operation(
        "getFile",
        "Baits",
        "A file of a bait",
        "Its bytes never change: keep it. `ETag` is its SHA-256, and so is `Repr-Digest` (RFC 9530).",
        {
            "200": {"description": "The file.", "headers": FILE_HEADERS, "content": binary},
            "206": {
                "description": "The range that was asked for.",
                "headers": FILE_HEADERS,
                "content": binary,
            },
            **_UNCHANGED,
            **problem_answers(404, 405, 410, 412, 416, 500, 503),
        },
        parameters=[*CONDITIONS, *RANGE],
    )


def _head() -> Item:
    return _operation(
        "headFile",
        "Baits",
        "What a file is",
        "The headers of the file without its bytes.",
        {
            "200": {"description": "The headers.", "headers": FILE_HEADERS},
            **_UNCHANGED,
            **problem_answers(404, 405, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )


def _openapi() -> Item:
    content = {"application/json": {"schema": {"type": "object"}}}
    return _operation(
        "getOpenApi",
        "Service",
        "This document",
        "OpenAPI 3.1.",
        {
            "200": {"description": "The document.", "content": content},
            **_UNCHANGED,
            **problem_answers(405, 412, 500),
        },
        parameters=CONDITIONS,
    )


def _reference() -> Item:
    content = {"text/html": {"schema": {"type": "string"}}}
    return _operation(
        "getReference",
        "Service",
        "The reference page",
        "Made from this document.",
        {
            "200": {"description": "The page.", "content": content},
            **_UNCHANGED,
            **problem_answers(405, 412, 500),
        },
        parameters=CONDITIONS,
    )


def _alive() -> Item:
    return _operation(
        "getLiveness",
        "Service",
        "Is the process alive?",
        "Asks nothing else.",
        {"200": _json("Health", "It is."), **problem_answers(405, 500)},
    )


def _ready() -> Item:
    return _operation(
        "getReadiness",
        "Service",
        "Will work that is taken now be done?",
        "The store answers and a worker is alive.",
        {"200": _json("Health", "It will."), **problem_answers(405, 500, 503)},
    )
