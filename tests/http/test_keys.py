"""Keys: kept as digests, asked for on every call but the open ones, good for what they open and no longer."""

from __future__ import annotations

import json
import os
import socket
import stat
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.app import create_app
from service.backing import Backing
from service.keys.__main__ import main
from service.keys.book import KeyBook, keys_file, read_keys
from service.keys.guard import hosts_of, is_loopback, require_keys
from service.keys.key import new_key
from service.keys.watched import WatchedKeys
from service.openapi import document
from service.scopes import SCOPES, Scope, scope_of
from service.stack.serve import main as serve
from tests.http.fakes import FakeBaits
from tests.http.test_problems import problem
from worker.errors import SettingsInvalid
from worker.settings import Settings, load

NOW = datetime(2026, 3, 1, 8, tzinfo=UTC)
BAIT = "/v1/baits/" + "0" * 64


def key(settings: Settings, *scopes: Scope, caller: str = "alder") -> dict[str, str]:
    """The headers of a call by this caller."""
    made, token = new_key(caller, scopes or SCOPES, "", NOW, None)
    KeyBook(keys_file(settings)).add(made)
    return {"Authorization": f"Bearer {token}"}


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


# From their making to their end


def book(tmp_path: Path) -> KeyBook:
    return KeyBook(tmp_path / "deep" / "keys.json")


def test_the_file_has_digests_and_is_its_owner_s_alone(tmp_path: Path) -> None:
    made, token = new_key("alder", [Scope.READ], "till", NOW, None)
    book(tmp_path).add(made)
    file = tmp_path / "deep" / "keys.json"
    assert token.split("_", 2)[2] not in file.read_text() and made.digest in file.read_text()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert read_keys(file) == {made.id: made}
    assert os.listdir(file.parent) == ["keys.json"]


def test_tokens_have_256_bits_of_chance_and_no_two_are_alike() -> None:
    tokens = {new_key("alder", SCOPES, "", NOW, None)[1] for _ in range(200)}
    # 32 bytes in base64 without padding are 43 characters (RFC 4648, 5)
    assert len(tokens) == 200 and {len(token.split("_", 2)[2]) for token in tokens} == {43}


def test_a_key_is_good_until_it_expires_or_is_revoked(tmp_path: Path) -> None:
    moment = [NOW]
    made, token = new_key("alder", [Scope.READ], "", NOW, NOW + timedelta(days=1))
    book(tmp_path).add(made)
    watched = WatchedKeys(tmp_path / "deep" / "keys.json", now=lambda: moment[0])
    assert watched.used() and watched.holder(token) == made
    moment[0] = NOW + timedelta(days=1)
    assert watched.holder(token) is None
    moment[0] = NOW
    assert watched.holder(token) == made
    book(tmp_path).revoke(made.id, NOW)
    assert watched.holder(token) is None and watched.used()


def test_a_change_is_seen_even_within_one_tick_of_the_file_s_clock(tmp_path: Path) -> None:
    file = tmp_path / "deep" / "keys.json"
    made, token = new_key("alder", [Scope.READ], "", NOW, None)
    book(tmp_path).add(made)
    watched = WatchedKeys(file)
    assert watched.holder(token) is not None
    same = file.stat()
    text = file.read_text().replace(made.digest, "0" * 64)
    file.write_text(text)  # the same inode and size
    os.utime(file, ns=(same.st_atime_ns, same.st_mtime_ns))
    assert watched.holder(token) is None


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


# The command


def command(*words: str) -> int:
    return main(list(words))


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURWRIGHT_STATE_DIR", str(tmp_path / "state"))
    monkeypatch.delenv("POURWRIGHT_KEYS_FILE", raising=False)
    return tmp_path / "state" / "keys.json"


def test_the_command_makes_lists_and_revokes(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert command("list") == 0 and "There are no keys" in capsys.readouterr().out
    assert command("make", "--caller", "alder", "--expires", "90d", "--label", "the till") == 0
    said = capsys.readouterr()
    token = said.out.strip()  # alone on standard output
    assert token.startswith("pourwright_") and token not in said.err and "shown once" in said.err
    key_id = token.split("_")[1]
    (kept,) = (read_keys(state) or {}).values()
    assert (kept.id, kept.caller, set(kept.scopes)) == (key_id, "alder", {"read", "build"})
    assert command("list") == 0
    listed = capsys.readouterr().out
    assert key_id in listed and "the till" in listed and "active" in listed
    assert token not in listed and kept.digest not in listed
    assert command("revoke", key_id) == 0 and command("revoke", key_id) == 0
    assert command("list") == 0 and "revoked" in capsys.readouterr().out
    assert command("revoke", "0" * 12) == 1 and "no key" in capsys.readouterr().err


@pytest.mark.parametrize(
    "words",
    [
        ("--caller", "A Shop"),
        ("--caller", "../x"),
        ("--caller", "alder", "--expires", "2020-01-01"),
        ("--caller", "alder", "--expires", "soon"),
        ("--caller", "alder", "--expires", "99999d"),
        ("--caller", "alder", "--label", "a\nb"),
    ],
)
def test_the_command_says_what_it_cannot_make(
    state: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    assert command("make", *words) == 1
    said = capsys.readouterr()
    assert said.out == "" and said.err.startswith("No key was made: ") and not state.exists()


def test_a_last_day_counts_to_its_end(state: Path) -> None:
    command("make", "--caller", "alder", "--expires", "2999-12-31", "--scopes", "read, admin")
    (kept,) = (read_keys(state) or {}).values()
    assert kept.expires == datetime(3000, 1, 1, tzinfo=UTC) and kept.scopes == {Scope.READ, Scope.ADMIN}


# The start


@pytest.mark.parametrize(
    ("host", "loopback"),
    [
        ("127.0.0.1", True),
        ("127.8.9.10", True),
        ("::1", True),
        ("::ffff:127.0.0.1", True),
        ("localhost", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.168.1.2", False),
        ("::ffff:192.0.2.1", False),
        ("no-such-host.invalid", False),
    ],
)
def test_without_keys_it_starts_on_loopback_alone(tmp_path: Path, host: str, loopback: bool) -> None:
    assert is_loopback(host) is loopback
    settings = load({"POURWRIGHT_STATE_DIR": str(tmp_path), "POURWRIGHT_HOST": host})
    if loopback:
        require_keys(settings)
    else:
        with pytest.raises(SettingsInvalid, match="there are no keys"):
            require_keys(settings)
        key(settings)
        require_keys(settings)


def test_places_that_are_listened_on_are_looked_at_whatever_the_settings_say(tmp_path: Path) -> None:
    settings = load({"POURWRIGHT_STATE_DIR": str(tmp_path)})
    with socket.socket() as everywhere, socket.socket(socket.AF_UNIX) as here:
        everywhere.bind(("0.0.0.0", 0))
        here.bind(str(tmp_path / "s"))
        require_keys(settings, hosts_of([here]))
        with pytest.raises(SettingsInvalid, match=r"0\.0\.0\.0 can be reached"):
            require_keys(settings, hosts_of([here, everywhere]))


def test_a_link_to_the_keys_may_be_turned_to_others(tmp_path: Path) -> None:
    """As orchestrators hand out a file: a link to a link to the version of the day, and the old version removed."""
    keys, tokens = {}, {}
    for version in ("one", "two"):
        (tmp_path / version).mkdir()
        keys[version], tokens[version] = new_key(version, SCOPES, "", NOW, None)
        KeyBook(tmp_path / version / "keys.json").add(keys[version])
    (tmp_path / "now").symlink_to("one")
    (tmp_path / "keys.json").symlink_to("now/keys.json")
    watched = WatchedKeys(keys_file(load({"POURWRIGHT_KEYS_FILE": str(tmp_path / "keys.json")})))
    assert watched.holder(tokens["one"]) == keys["one"]
    (tmp_path / "next").symlink_to("two")
    (tmp_path / "next").rename(tmp_path / "now")
    (tmp_path / "one" / "keys.json").unlink()
    assert watched.holder(tokens["two"]) == keys["two"]
    assert watched.holder(tokens["one"]) is None


def test_a_file_of_keys_may_lie_elsewhere(tmp_path: Path) -> None:
    elsewhere = tmp_path / "handed out" / "keys.json"
    settings = load({"POURWRIGHT_KEYS_FILE": str(elsewhere)})
    key(settings)
    assert json.loads(elsewhere.read_text())["keys"][0]["caller"] == "alder"


def test_a_browser_that_asks_before_the_call_sends_no_key(client: FlaskClient, settings: Settings) -> None:
    key(settings)
    assert client.options("/v1/baits").status_code == 200


def test_check_config_says_beforehand_that_it_would_not_start(
    state: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("POURWRIGHT_HOST", "0.0.0.0")
    assert serve(["--check-config"]) == 1
    assert capsys.readouterr().err.startswith("/POURWRIGHT_HOST: 0.0.0.0 can be reached from other machines")
    command("make", "--caller", "alder")
    assert serve(["--check-config"]) == 0


@pytest.mark.parametrize(
    ("host", "own"),
    [
        ("127.0.0.1", True),
        ("127.0.0.1:8080", True),
        ("LOCALHOST:18080", True),
        ("[::1]:8080", True),
        ("bench.example:8080", True),  # POURWRIGHT_HOST itself
        ("evil.example", False),
        ("localhost.evil.example:8080", False),
        ("127.0.0.1.evil.example", False),
        ("127.0.0.1@evil.example", False),
        ("", False),
    ],
)
def test_without_keys_a_page_whose_host_resolves_to_this_machine_is_not_let_in(
    settings: Settings, backing: Backing, host: str, own: bool
) -> None:
    client = create_app(replace(settings, host="bench.example"), backing).test_client()
    answer = client.get("/v1/plastics", headers={"Host": host})
    if own:
        assert answer.status_code == 200
    else:
        problem(answer, 421, "misdirected")
    # What is open is open by any name, and with a key the name says nothing.
    assert client.get("/healthz", headers={"Host": host}).status_code == 200
    assert client.get("/v1/plastics", headers={"Host": host, **key(settings)}).status_code == 200
