"""Keys: kept as digests, asked for on every call but the open ones, good for what they open and no longer."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.keys.book import KeyBook, keys_file
from service.keys.guard import require_keys
from service.openapi import document
from service.scopes import SCOPES, Scope, scope_of
from tests.http.fakes import FakeBaits
from tests.http.keys import NOW, key
from tests.http.test_problems import problem
from worker.errors import SettingsInvalid
from worker.settings import Settings

BAIT = "/v1/baits/" + "0" * 64


def test_without_keys_everybody_is_local_whatever_is_sent(client: FlaskClient, baits: FakeBaits) -> None:
    client.post("/v1/baits", json={"style": "grub"}, headers={"Authorization": "Bearer x"})
    assert [caller for caller, _ in baits.kept] == ["local"]


def test_with_keys_a_call_without_one_is_401(client: FlaskClient, settings: Settings) -> None:
    good = key(settings)
    assert client.get("/v1/plastics", headers=good).status_code == 200
    token = good["Authorization"].removeprefix("Bearer ")
    wrong = (f"Token {token}", f"Bearer {token}x", f"Bearer {token[:-1]}", "Bearer é", "Bearer " + "x" * 5000)
    for sent in (None, "Basic YTpi", "Bearer", *wrong):
        refused = client.get("/v1/plastics", headers={} if sent is None else {"Authorization": sent})
        problem(refused, 401, "key-missing")
        assert refused.headers["WWW-Authenticate"].startswith('Bearer realm="pourwright"')
        assert token[:-1] not in refused.text
    # RFC 6750, 3.1: an error is named only where a token was sent
    assert "error" not in client.get("/v1/plastics").headers["WWW-Authenticate"]
    unknown = client.get("/v1/plastics", headers={"Authorization": f"Bearer {token[:-1]}!"})
    assert 'error="invalid_token"' in unknown.headers["WWW-Authenticate"]


@pytest.mark.parametrize("path", ["/healthz", "/readyz", "/docs", "/v1/openapi.json"])
def test_health_and_documents_stay_open(client: FlaskClient, settings: Settings, path: str) -> None:
    key(settings)
    assert client.get(path).status_code == 200


def test_every_picture_of_the_reference_page_stays_open(client: FlaskClient, settings: Settings) -> None:
    key(settings)
    assert client.get("/v1/styles/grub/drawings/length.svg").status_code == 200


def test_what_is_not_there_needs_no_key_to_be_told_so(client: FlaskClient, settings: Settings) -> None:
    key(settings)
    assert client.get("/v1/nothing").status_code == 404
    assert client.put("/v1/baits").status_code == 405


@pytest.mark.parametrize(
    ("method", "address", "scope"),
    [
        ("GET", "/v1/styles", Scope.READ),
        ("POST", "/v1/estimates", Scope.READ),
        ("POST", "/v1/baits", Scope.BUILD),
        ("GET", BAIT, Scope.READ),
        ("DELETE", BAIT, Scope.BUILD),
        ("GET", BAIT + "/files/bait.stl", Scope.READ),
        ("HEAD", BAIT + "/files/bait.stl", Scope.READ),
    ],
)
def test_a_key_opens_its_scopes_and_no_others(
    client: FlaskClient, settings: Settings, method: str, address: str, scope: Scope
) -> None:
    refused = client.open(address, method=method, headers=key(settings, *(one for one in SCOPES if one != scope)))
    assert refused.status_code == 403
    assert f'error="insufficient_scope", scope="{scope}"' in refused.headers["WWW-Authenticate"]
    if method != "HEAD":
        problem(refused, 403, "scope-missing")
    assert client.open(address, method=method, headers=key(settings, scope)).status_code not in (401, 403)


def test_what_nobody_has_thought_of_is_closed() -> None:
    # The contract: admin for house styles, plastics, webhooks
    plastics = ("/v1/plastics/<name>", "/v1/plastics/<name>/measurements")
    for address in (*plastics, "/v1/styles/<style>", "/v1/webhooks/<name>", "/v1/anything"):
        assert scope_of("PUT", address) == scope_of("POST", address) == scope_of("DELETE", address) == Scope.ADMIN
        assert scope_of("GET", address) == Scope.READ
    assert scope_of("POST", "/v1/links") == scope_of("DELETE", "/v1/batches/<id>") == Scope.BUILD


def test_the_document_names_for_every_call_the_scope_that_the_service_asks(app: Flask) -> None:
    told: dict[tuple[str, str], list[Any]] = {
        (path, method.upper()): operation["security"]
        for path, item in document()["paths"].items()
        for method, operation in item.items()
        if method != "parameters"
    }
    for rule in app.url_map.iter_rules():
        for method in (rule.methods or set()) - {"OPTIONS", "HEAD"}:
            scope = scope_of(method, rule.rule)
            security = told[rule.rule.replace("<", "{").replace(">", "}"), method]
            assert security == ([] if scope is None else [{"key": [scope]}, {}])


# Callers


def test_another_s_bait_is_404_like_an_unknown_one_on_every_address(
    client: FlaskClient, settings: Settings, baits: FakeBaits
) -> None:
    alder, birch = key(settings, caller="alder"), key(settings, caller="birch")
    made = client.post("/v1/baits", json={"style": "grub"}, headers=alder)
    path = made.headers["Location"]
    baits.succeed(made.json["id"], "alder")
    rules = [
        (rule.rule.replace("<bait_id>", made.json["id"]).replace("<name>", "bait.stl"), method)
        for rule in client.application.url_map.iter_rules()
        for method in (rule.methods or set()) - {"OPTIONS", "HEAD"}
        if "bait_id" in rule.arguments
    ]
    assert (path, "DELETE") in rules and len(rules) >= 3
    for address, method in rules:
        unknown = client.open(address.replace(made.json["id"], "f" * 64), method=method, headers=birch)
        anothers = client.open(address, method=method, headers=birch)
        assert (anothers.status_code, anothers.data) == (unknown.status_code, unknown.data)
        problem(anothers, 404, "not-found")
    assert client.get(path, headers=alder).json["status"] == "successful"
    # The same request of another is a bait of his own, and so is the same idempotency key
    other = client.post("/v1/baits", json={"style": "grub"}, headers=birch)
    assert other.status_code == 202 and other.json["id"] == made.json["id"]
    for sender, style in ((alder, "grub"), (birch, "craw")):
        named = {**sender, "Idempotency-Key": '"one"'}
        assert client.post("/v1/baits", json={"style": style}, headers=named).status_code in (200, 202)


def test_what_a_key_opened_is_for_its_holder_s_cache_alone(
    client: FlaskClient, settings: Settings, baits: FakeBaits
) -> None:
    alder = key(settings)
    made = client.post("/v1/baits", json={"style": "grub"}, headers=alder)
    baits.succeed(made.json["id"], "alder")
    file = client.get(made.headers["Location"] + "/files/bait.stl", headers=alder, buffered=True)
    assert file.data and file.headers["Cache-Control"] == "private, max-age=31536000, immutable"
    assert "Authorization" in file.headers["Vary"]
    assert {"Prefer", "Authorization"} <= set(client.get(made.headers["Location"], headers=alder).vary)


def test_keys_once_used_are_used_for_good(client: FlaskClient, settings: Settings) -> None:
    good = key(settings)
    assert client.get("/v1/plastics", headers=good).status_code == 200
    (made,) = KeyBook(keys_file(settings)).read() or {}
    KeyBook(keys_file(settings)).revoke(made, NOW)
    problem(client.get("/v1/plastics"), 401, "key-missing")  # with no key left that opens anything
    keys_file(settings).unlink()
    problem(client.get("/v1/plastics"), 401, "key-missing")  # and not even the file


@pytest.mark.parametrize("content", ["", "{", "[]", '{"form": 2, "keys": []}', '{"form": 1, "keys": [{}]}'])
def test_keys_that_cannot_be_read_let_nobody_in(client: FlaskClient, settings: Settings, content: str) -> None:
    keys_file(settings).parent.mkdir()
    keys_file(settings).write_text(content)
    problem(client.get("/v1/plastics"), 503, "keys-unreadable")
    assert client.get("/healthz").status_code == 200
    with pytest.raises(SettingsInvalid, match="cannot be read"):
        require_keys(settings)


def test_a_browser_that_asks_before_the_call_sends_no_key(client: FlaskClient, settings: Settings) -> None:
    key(settings)
    assert client.options("/v1/baits").status_code == 200
