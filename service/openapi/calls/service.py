"""The service itself."""

from __future__ import annotations

from service.openapi.calls.call import UNCHANGED, Item, call, json_answer
from service.openapi.headers import CONDITIONS
from service.openapi.responses import problem_answers


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/openapi.json": {"get": _openapi()},
        "/docs": {"get": _reference()},
        "/docs/bargain.svg": {"get": _bargain()},
        "/healthz": {"get": _alive()},
        "/readyz": {"get": _ready()},
    }


def _openapi() -> Item:
    content = {"application/json": {"schema": {"type": "object"}}}
    return call(
        "getOpenApi",
        "Service",
        "This document",
        "OpenAPI 3.1.",
        {
            "200": {"description": "The document.", "content": content},
            **UNCHANGED,
            **problem_answers(405, 412, 500),
        },
        parameters=CONDITIONS,
    )


def _reference() -> Item:
    content = {"text/html": {"schema": {"type": "string"}}}
    return call(
        "getReference",
        "Service",
        "The reference page",
        "Made from this document.",
        {
            "200": {"description": "The page.", "content": content},
            **UNCHANGED,
            **problem_answers(405, 412, 500),
        },
        parameters=CONDITIONS,
    )


def _bargain() -> Item:
    content = {"image/svg+xml": {"schema": {"type": "string"}}}
    return call(
        "drawBargain",
        "Service",
        "The bargain in a picture",
        "One bait with necks of five sizes: what each holds, how easily it bends. SVG without scripts or references.",
        {
            "200": {"description": "The picture.", "content": content},
            **UNCHANGED,
            **problem_answers(405, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )


def _alive() -> Item:
    return call(
        "getLiveness",
        "Service",
        "Is the process alive?",
        "Asks nothing else.",
        {"200": json_answer("Health", "It is."), **problem_answers(405, 500)},
    )


def _ready() -> Item:
    return call(
        "getReadiness",
        "Service",
        "Will work that is taken now be done?",
        "The store answers and a worker is alive.",
        {"200": json_answer("Health", "It will."), **problem_answers(405, 500, 503)},
    )
