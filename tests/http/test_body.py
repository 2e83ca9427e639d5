"""What a body must be before anything in it is looked at."""

from __future__ import annotations

import gzip
import io
import json
from typing import Any

import pytest
from flask import Response
from flask.testing import FlaskClient
from gunicorn.http.errors import InvalidChunkSize
from werkzeug.test import EnvironBuilder

from tests.http.fakes import FakeBaits
from tests.http.test_problems import problem
from worker.settings import Settings

ROUTES = ["/v1/baits", "/v1/estimates"]


@pytest.mark.parametrize("path", ROUTES)
@pytest.mark.parametrize(
    "content_type",
    [
        None,
        "text/plain",
        "application/xml",
        "application/x-www-form-urlencoded",
        "application/jsonp",
        "json",
        "application/merge-patch+json",
        "application/json; charset=utf-16",
        "multipart/form-data; boundary=x",
    ],
)
def test_another_type_is_415(client: FlaskClient, worm: dict[str, Any], path: str, content_type: str | None) -> None:
    response = client.post(path, data=json.dumps(worm), content_type=content_type)
    problem(response, 415, "unsupported-media-type")
    assert response.headers["Accept-Post"] == "application/json"


@pytest.mark.parametrize("content_type", ["application/json", "Application/JSON", 'application/json; charset="UTF-8"'])
def test_json_is_taken_however_it_is_spelled(client: FlaskClient, worm: dict[str, Any], content_type: str) -> None:
    assert client.post("/v1/estimates", data=json.dumps(worm), content_type=content_type).status_code == 200


@pytest.mark.parametrize("coding", ["gzip", "deflate", "br", "identity, gzip", "nonsense"])
def test_a_packed_body_is_415_and_never_unpacked(client: FlaskClient, baits: FakeBaits, coding: str) -> None:
    bomb = gzip.compress(b" " * 10_000_000)
    response = client.post(
        "/v1/baits", data=bomb, content_type="application/json", headers={"Content-Encoding": coding}
    )
    problem(response, 415, "unsupported-media-type")
    assert baits.jobs == []


def test_a_body_at_the_limit_is_read_and_one_above_it_is_413(
    client: FlaskClient, worm: dict[str, Any], settings: Settings
) -> None:
    limit = settings.body_limit_bytes
    text = json.dumps(worm).encode()
    at_limit = client.post("/v1/estimates", data=text.ljust(limit), content_type="application/json")
    assert at_limit.status_code == 200
    above = client.post("/v1/estimates", data=text.ljust(limit + 1), content_type="application/json")
    document = problem(above, 413, "request-too-large")
    assert str(limit) in document["detail"]


def chunked(client: FlaskClient, body: Any) -> Any:
    """A POST as gunicorn hands on a chunked body: no length, and a stream that ends by itself."""
    environ = EnvironBuilder("/v1/baits", method="POST", content_type="application/json").get_environ()
    environ.pop("CONTENT_LENGTH", None)
    environ |= {"wsgi.input": body, "wsgi.input_terminated": True}
    return Response.from_app(client.application, environ)


def test_a_chunked_body_is_read(client: FlaskClient, worm: dict[str, Any]) -> None:
    assert chunked(client, io.BytesIO(json.dumps(worm).encode())).status_code == 202


def test_a_chunked_body_without_a_length_is_held_to_the_limit(client: FlaskClient, settings: Settings) -> None:
    body = io.BytesIO(b" " * 10_000_000)
    problem(chunked(client, body), 413, "request-too-large")
    assert body.tell() <= settings.body_limit_bytes + 100_000


def test_a_body_that_stops_coming_is_408(client: FlaskClient) -> None:
    class Stalled:
        def read(self, size: int = -1) -> bytes:
            raise TimeoutError("timed out")

    problem(chunked(client, Stalled()), 408, "request-timeout")


def test_chunks_that_are_none_are_400(client: FlaskClient) -> None:
    class Broken:
        def read(self, size: int = -1) -> bytes:
            raise InvalidChunkSize(b"zz")

    problem(chunked(client, Broken()), 400, "malformed-request")
