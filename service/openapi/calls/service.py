"""The service itself."""

from __future__ import annotations

from service.openapi.calls.call import UNCHANGED, Item, call, json_answer
from service.openapi.headers import CONDITIONS
from service.openapi.responses import problem_answers
from worker.plots.worked import WORKED_NAMES

_NAME: Item = {
    "name": "name",
    "in": "path",
    "required": True,
    "description": "As the page names it.",
    "schema": {"type": "string"},
}
_EXAMPLE: Item = {
    "name": "example",
    "in": "path",
    "required": True,
    "description": "The example's name, as it stands in this document behind `open_form_`.",
    "schema": {"type": "string", "enum": list(WORKED_NAMES)},
}


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/openapi.json": {"get": _openapi()},
        "/docs": {"get": _reference()},
        "/docs/bargain.svg": {"get": _bargain()},
        "/docs/open-form/{example}.svg": {"get": _worked(), "parameters": [_EXAMPLE]},
        "/try": {"get": _try()},
        "/try/words.json": {"get": _try_words()},
        "/try/{name}": {"get": _try_file(), "parameters": [_NAME]},
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


def _worked() -> Item:
    content = {"image/svg+xml": {"schema": {"type": "string"}}}
    return call(
        "drawExample",
        "Service",
        "A worked example of the open form in a picture",
        "The bait that the example's request is, from above and from the side. SVG without scripts or references.",
        {
            "200": {"description": "The picture.", "content": content},
            **UNCHANGED,
            **problem_answers(404, 405, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )


def _try() -> Item:
    content = {"text/html": {"schema": {"type": "string"}}}
    return call(
        "getPage",
        "Service",
        "The page to try a bait",
        "Where the service has keys, it is there if POURWRIGHT_TRY_KEY names one, and comes with a cookie by which its "
        "own calls, and no others, go through that key.",
        {
            "200": {"description": "The page.", "content": content},
            **UNCHANGED,
            **problem_answers(404, 405, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )


def _try_words() -> Item:
    content = {"application/json": {"schema": {"type": "object"}}}
    return call(
        "getPageWords",
        "Service",
        "What the page says besides",
        "The questions of the checks, and the schemas of what all styles share.",
        {
            "200": {"description": "The words.", "content": content},
            **UNCHANGED,
            **problem_answers(405, 412, 500),
        },
        parameters=CONDITIONS,
    )


def _try_file() -> Item:
    kinds = ("text/css", "text/javascript", "text/plain", "image/svg+xml", "font/woff2")
    content = {kind: {"schema": {"type": "string"}} for kind in kinds}
    return call(
        "getPageFile",
        "Service",
        "A file that the page is made of",
        "Its name has the digest of its content: keep it.",
        {
            "200": {"description": "The file.", "content": content},
            **UNCHANGED,
            **problem_answers(404, 405, 412, 500),
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
