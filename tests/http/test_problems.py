"""Every error has its one public answer, and nothing but a problem document ever says no."""

from __future__ import annotations

import json
import logging
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

import service.errors
from service.problems import NEVER_AN_ANSWER, STATUS_OF
from worker import errors
from worker.errors import BuildFailed, Fault, InvalidRequest, PourwrightError


def tree(root: type[PourwrightError]) -> Iterator[type[PourwrightError]]:
    yield root
    for below in root.__subclasses__():
        yield from tree(below)


def test_every_error_of_the_tree_has_a_status_or_never_answers_a_request() -> None:
    assert service.errors.Expired in tree(PourwrightError)
    for error in tree(PourwrightError):
        if issubclass(error, BuildFailed):
            assert error not in STATUS_OF, f"{error.__name__} ends a bait and never a request"
        else:
            assert (error in STATUS_OF) != (error in NEVER_AN_ANSWER), error.__name__


def test_every_error_that_answers_has_a_kind_and_a_title_of_its_own() -> None:
    assert len({error.kind for error in STATUS_OF}) == len(STATUS_OF)
    assert len({error.title for error in STATUS_OF}) == len(STATUS_OF)


def problem(response: Any, status: int, kind: str) -> dict[str, Any]:
    """The problem document, checked for the members that RFC 9457 and the contract ask for."""
    assert response.status_code == status
    assert response.mimetype == "application/problem+json"
    document: dict[str, Any] = json.loads(response.data)
    assert document["type"] == f"urn:pourwright:problem:{kind}"
    assert document["status"] == status
    assert document["title"] and document["detail"]
    for fault in document["errors"]:
        assert set(fault) == {"pointer", "code", "detail", "allowed"}
    return document


def raising(app: Flask, error: Exception) -> FlaskClient:
    def fail() -> str:
        raise error

    app.add_url_rule("/fail", view_func=fail)
    return app.test_client()


@pytest.mark.parametrize("error", list(STATUS_OF), ids=lambda error: error.__name__)
def test_an_error_is_answered_with_its_status(app: Flask, error: type[PourwrightError]) -> None:
    response = raising(app, error("What went wrong.")).get("/fail")
    document = problem(response, STATUS_OF[error], error.kind)
    assert document["detail"] == "What went wrong."
    assert response.headers["Cache-Control"] == "no-store"
    assert ("Retry-After" in response.headers) == (STATUS_OF[error] in (429, 503))


def test_every_fault_is_named(app: Flask) -> None:
    faults = [
        Fault("/a~1b", "unknown-member", "No such."),
        Fault("", "missing", "Is to be there.", {"minimum": 1}),
    ]
    document = problem(raising(app, InvalidRequest("Two faults.", faults)).get("/fail"), 422, "invalid-request")
    assert document["errors"] == [
        {"pointer": "", "code": "missing", "detail": "Is to be there.", "allowed": {"minimum": 1}},
        {"pointer": "/a~1b", "code": "unknown-member", "detail": "No such.", "allowed": None},
    ]


@pytest.mark.parametrize(
    "error", [ZeroDivisionError("a secret"), errors.GeometryFailed("a secret"), KeyError("a secret")]
)
def test_what_nobody_expected_is_500_in_the_log_and_tells_nothing(
    app: Flask, error: Exception, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.ERROR, "pourwright.service"):
        response = raising(app, error).get("/fail")
    document = problem(response, 500, "internal")
    assert "secret" not in response.text and "Traceback" not in response.text
    assert document["instance"].startswith("urn:uuid:")
    assert document["instance"] in caplog.text and "a secret" in caplog.text


@pytest.mark.parametrize(
    ("method", "path", "status", "kind"),
    [
        ("GET", "/", 404, "not-found"),
        ("GET", "/v1/nothing", 404, "not-found"),
        ("GET", "/v1/styles/", 404, "not-found"),
        ("GET", "//v1/styles", 404, "not-found"),
        ("GET", "/v1/baits/../../etc/passwd", 404, "not-found"),
        ("GET", "/static/x", 404, "not-found"),
        ("POST", "/v1/styles", 405, "method-not-allowed"),
        ("PUT", "/v1/baits", 405, "method-not-allowed"),
        ("PATCH", "/v1/baits/" + "0" * 64, 405, "method-not-allowed"),
        ("DELETE", "/healthz", 405, "method-not-allowed"),
    ],
)
def test_what_the_framework_refuses_is_a_problem_too(
    client: FlaskClient, method: str, path: str, status: int, kind: str
) -> None:
    response = client.open(path, method=method)
    problem(response, status, kind)
    assert ("Allow" in response.headers) == (status == 405)


def test_allow_lists_what_the_address_takes(client: FlaskClient) -> None:
    allowed = client.put("/v1/baits/" + "0" * 64).headers["Allow"]
    assert {method.strip() for method in allowed.split(",")} == {"GET", "HEAD", "DELETE", "OPTIONS"}


@pytest.mark.parametrize("path", ["/healthz", "/v1/styles", "/v1/nothing", "/docs"])
def test_every_answer_carries_the_security_headers(client: FlaskClient, path: str) -> None:
    headers = client.get(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["X-Frame-Options"] == "DENY"
    assert "default-src 'none'" in headers["Content-Security-Policy"]


@pytest.mark.parametrize(("method", "path", "status", "kind", "said"), [
    ("GET", "/v1/bait", 404, "not-found", "/v1/openapi.json"),
    ("POST", "/v1/estimates/", 404, "not-found", "without the slash at its end"),
    ("GET", "/v1/estimates", 405, "method-not-allowed", "takes OPTIONS, POST, and no GET"),
])  # fmt: skip
def test_a_wrong_address_or_method_is_told_what_there_is(
    client: FlaskClient, method: str, path: str, status: int, kind: str, said: str
) -> None:
    assert said in problem(client.open(path, method=method), status, kind)["detail"]


@pytest.mark.parametrize(("body", "said"), [
    (b"", "The body is empty"),
    (b" \r\n", "The body is empty"),
    (b'\xef\xbb\xbf{"style": "craw"}', "byte order mark"),  # as some editors save a file
])  # fmt: skip
def test_a_body_that_looks_right_is_told_what_is_wrong(client: FlaskClient, body: bytes, said: str) -> None:
    answer = client.post("/v1/estimates", data=body, content_type="application/json")
    (fault,) = problem(answer, 400, "malformed-request")["errors"]
    assert fault["code"] == "not-json" and said in fault["detail"]


def test_large_bounds_are_told_in_digits(client: FlaskClient) -> None:
    answer = client.post("/v1/links", json={"bait": "0" * 64, "file": "bait.stl", "seconds": 0})
    assert "from 1 to 2592000 s" in problem(answer, 422, "invalid-request")["errors"][0]["detail"]
