"""The document is the committed one, is valid, and says what the service does: no more and no less."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from flask import Flask
from flask.testing import FlaskClient
from openapi_spec_validator import OpenAPIV31SpecValidator

from service.openapi import document, document_text
from service.openapi.__main__ import COMMITTED, main
from service.problems import FRAMEWORK_PROBLEMS, STATUS_OF
from tests.http.fakes import FakeBaits
from worker.styles import STYLES


def schema(name: str) -> jsonschema.Draft202012Validator:
    """A validator for one component, with the others in reach."""
    whole = document()
    return jsonschema.Draft202012Validator({**whole, "$ref": f"#/components/schemas/{name}"})


def test_the_committed_document_is_the_one_that_is_made() -> None:
    assert COMMITTED.read_text(encoding="utf-8") == document_text(), "run python -m service.openapi"


def test_the_command_writes_it(tmp_path: Path) -> None:
    assert main([str(tmp_path / "a" / "openapi.json")]) == 0
    assert (tmp_path / "a" / "openapi.json").read_text(encoding="utf-8") == document_text()


def test_it_is_valid_openapi_3_1() -> None:
    OpenAPIV31SpecValidator(document()).validate()


def test_it_is_served(client: FlaskClient) -> None:
    response = client.get("/v1/openapi.json")
    assert response.mimetype == "application/json" and response.json == document()


def test_it_lists_every_call_and_no_other(app: Flask) -> None:
    listed = {
        (path, method.upper())
        for path, item in document()["paths"].items()
        for method in item
        if method in ("get", "head", "post", "put", "delete")
    }
    served = {
        (rule.rule.replace("<", "{").replace(">", "}"), method)
        for rule in app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"OPTIONS", "HEAD"}
    }
    assert {call for call in listed if call[1] != "HEAD"} == served


def test_operation_ids_are_unique() -> None:
    ids = [
        operation["operationId"]
        for item in document()["paths"].values()
        for method, operation in item.items()
        if method != "parameters"
    ]
    assert len(ids) == len(set(ids))


def test_every_status_that_an_error_can_have_is_described() -> None:
    described = {
        int(status)
        for item in document()["paths"].values()
        for method, operation in item.items()
        if method != "parameters"
        for status in operation["responses"]
    }
    assert set(STATUS_OF.values()) | set(FRAMEWORK_PROBLEMS) <= described


def test_no_number_in_it_is_infinite() -> None:
    json.loads(document_text(), parse_constant=lambda name: pytest.fail(f"{name} in the document"))


@pytest.mark.parametrize("name", list(STYLES))
def test_answers_are_as_described(client: FlaskClient, baits: FakeBaits, name: str) -> None:
    request = dict(STYLES[name].example)
    schema("Request").validate(request)
    schema("Style").validate(client.get(f"/v1/styles/{name}").json)
    schema("Bait").validate(client.post("/v1/estimates", json=request).json)
    accepted = client.post("/v1/baits", json={**request, "label": "one"})
    schema("Bait").validate(accepted.json)
    baits.succeed(accepted.json["id"])
    schema("Bait").validate(client.get(accepted.headers["Location"]).json)


def test_lists_and_problems_are_as_described(client: FlaskClient, baits: FakeBaits) -> None:
    schema("Styles").validate(client.get("/v1/styles").json)
    schema("Plastics").validate(client.get("/v1/plastics").json)
    schema("Health").validate(client.get("/healthz").json)
    schema("Problem").validate(client.post("/v1/baits", json={"style": 1, "x": 2}).json)
    bait = client.post("/v1/baits", json={"style": "beaded_worm"}).json
    baits.fail(bait["id"])
    failed: Any = client.get(bait["links"]["self"]).json
    assert failed["problem"]
    schema("Bait").validate(failed)
