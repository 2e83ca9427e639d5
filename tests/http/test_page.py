"""The page's files as they are served, and the one key that it calls through."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.backing import Backing
from service.keys.book import KeyBook, keys_file
from service.page.files import page_files
from service.page.session import COOKIE, GOOD_FOR_S, MARK
from service.scopes import Scope
from tests.http.keys import NOW, key
from tests.http.test_problems import problem
from worker.settings import Settings
from worker.styles import STYLES
from worker.values.questions import CHECKS

SOURCE = Path("service/page")
GRUB: dict[str, Any] = {"style": "grub"}


def test_it_is_of_this_host_alone_and_lets_no_text_become_a_script(client: FlaskClient) -> None:
    answer = client.get("/try")
    assert answer.headers["Content-Type"] == "text/html; charset=utf-8" and "Set-Cookie" not in answer.headers
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "http" not in policy
    assert "require-trusted-types-for 'script'" in policy and "frame-ancestors 'none'" in policy
    assert "<style" not in answer.text and not re.search(r"\son\w+=|\sstyle=", answer.text)
    assert not re.search(r"<script(?![^>]*\bsrc=)", answer.text)
    links = re.findall(r'(?:href|src)="([^"]*)"', answer.text)
    assert links and all(link.startswith("/") and client.get(link).status_code == 200 for link in links)


def test_its_files_are_kept_for_good_under_names_that_change_with_them(client: FlaskClient) -> None:
    for name in page_files():
        if name in ("index.html", "licences.txt"):
            continue
        answer = client.get(f"/try/{name}")
        assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"
        assert re.search(r"-[0-9A-Z]{8}\.", name), name
    assert client.get("/try").headers["Cache-Control"] == "no-cache"
    assert client.get("/try/licences.txt").headers["Cache-Control"] == "no-cache"
    assert client.get("/try/index.html").status_code == client.get("/try/other.js").status_code == 404


def test_it_is_sent_packed_to_whoever_takes_that_and_asked_about_again(client: FlaskClient) -> None:
    (name,) = (name for name in page_files() if re.fullmatch(r"try-.*\.js", name))
    plain = client.get(f"/try/{name}")
    packed = client.get(f"/try/{name}", headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip" and gzip.decompress(packed.data) == plain.data
    assert len(packed.data) < len(plain.data) / 2 and packed.headers["ETag"] != plain.headers["ETag"]
    assert "Accept-Encoding" in plain.headers["Vary"] and "Accept-Encoding" in packed.headers["Vary"]
    asked = {"Accept-Encoding": "gzip", "If-None-Match": packed.headers["ETag"]}
    assert client.get(f"/try/{name}", headers=asked).status_code == 304
    refused = client.get(f"/try/{name}", headers={"Accept-Encoding": "gzip;q=0"})
    assert "Content-Encoding" not in refused.headers


def test_what_is_served_was_built_of_these_sources() -> None:
    """`npm run build` notes the sources and the lock that it built of; who changes one and forgets that is told."""
    told = (SOURCE / "built_from.txt").read_text().split()
    names = sorted([*(SOURCE / "source").iterdir(), SOURCE / "build.mjs", SOURCE / "package-lock.json"])
    digest = hashlib.sha256()
    for path in names:
        digest.update(path.name.encode() + b"\0" + hashlib.sha256(path.read_bytes()).digest())
    assert told == [digest.hexdigest()]


def test_every_style_has_a_sentence_that_names_only_what_it_declares() -> None:
    for style in STYLES.values():
        named = re.findall(r"\{([a-z0-9_]+)\}", style.told_sentence())
        assert "style" in named
        assert set(named) - {"style"} <= {parameter.name for parameter in style.parameters}, style.name
        assert style.told_sentence().startswith("A ")


def test_a_style_without_a_sentence_gets_one_of_what_its_example_sets() -> None:
    made = replace(STYLES["jointed_worm"], sentence="").told_sentence()
    assert made == (
        "A {length} {style}, bead diameter {bead_diameter}, bead count {bead_count}, core diameter {core_diameter}"
    )


def test_the_words_are_those_of_the_declarations(client: FlaskClient) -> None:
    told = client.get("/try/words.json").json
    assert told["questions"] == {name: check.question for name, check in CHECKS.items()}
    assert told["firmer"]["jointed_worm"][:3] == ["core_diameter", "joint_blend", "bead_count"]
    assert told["plastic"]["properties"]["salt_wt_pct"]["maximum"] == 45


# Where there are keys ----------------------------------------------------------------------------------------------


@pytest.fixture
def keyed(settings: Settings, backing: Backing) -> FlaskClient:
    """A service with a key for the page, which opens everything."""
    key(settings, caller="window")
    (made,) = (KeyBook(keys_file(settings)).read() or {}).values()
    return create_app(replace(settings, try_key=made.id), backing).test_client()


def mark(**more: str) -> dict[str, str]:
    return {MARK: "try", **more}


def test_with_keys_and_none_named_the_page_is_closed_and_says_how_to_open_it(
    client: FlaskClient, settings: Settings
) -> None:
    key(settings)
    told = problem(client.get("/try"), 404, "not-found")
    assert "POURWRIGHT_TRY_KEY" in told["detail"]


def test_a_named_key_that_may_not_build_opens_no_page(settings: Settings, backing: Backing) -> None:
    key(settings, Scope.READ)
    (made,) = (KeyBook(keys_file(settings)).read() or {}).values()
    assert create_app(replace(settings, try_key=made.id), backing).test_client().get("/try").status_code == 404


def test_the_page_comes_with_a_session_that_no_script_reads_and_no_other_site_sends(keyed: FlaskClient) -> None:
    answer = keyed.get("/try")
    (cookie,) = answer.headers.getlist("Set-Cookie")
    assert cookie.startswith(f"{COOKIE}=") and {"HttpOnly", "SameSite=Strict", "Path=/"} <= set(cookie.split("; "))
    assert f"Max-Age={GOOD_FOR_S}" in cookie and "pourwright_0" not in cookie
    assert answer.headers["Cache-Control"] == "private, no-cache" and "Cookie" in answer.headers["Vary"]
    assert "Secure" in keyed.get("/try", base_url="https://localhost").headers["Set-Cookie"]


def test_its_calls_go_through_the_key_and_are_counted_for_it(keyed: FlaskClient) -> None:
    assert keyed.get("/v1/styles").status_code == 401
    keyed.get("/try")
    styles = keyed.get("/v1/styles")
    assert styles.status_code == 200 and "Cookie" in styles.headers["Vary"]
    assert keyed.post("/v1/estimates", json=GRUB, headers=mark()).status_code == 200
    made = keyed.post("/v1/baits", json=GRUB, headers=mark())
    assert made.status_code == 202
    assert keyed.get(made.headers["Location"]).status_code == 200


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("DELETE", "/v1/baits/" + "0" * 64),
        ("POST", "/v1/batches"),
        ("POST", "/v1/links"),
        ("PUT", "/v1/plastics/mine"),
        ("GET", "/v1/webhooks/mine"),
        ("DELETE", "/v1/fits/" + "0" * 64),
    ],
)
def test_it_opens_nothing_that_the_page_does_not_need(keyed: FlaskClient, method: str, path: str) -> None:
    keyed.get("/try")
    assert keyed.open(path, method=method, json={}, headers=mark()).status_code == 401


def test_a_call_without_the_pages_header_is_no_call_of_the_page(keyed: FlaskClient) -> None:
    """What a form of another site could send, were its cookie let through."""
    keyed.get("/try")
    assert keyed.post("/v1/baits", json=GRUB).status_code == 401
    assert keyed.post("/v1/estimates", data=json.dumps(GRUB), headers={"Content-Type": "text/plain"}).status_code == 401


@pytest.mark.parametrize("spoil", ["later", "nonce", "signature", "form"])
def test_a_session_that_we_did_not_sign_opens_nothing(keyed: FlaskClient, spoil: str) -> None:
    keyed.get("/try")
    cookie = keyed.get_cookie(COOKIE)
    assert cookie is not None
    expires, nonce, signature = cookie.value.split(".")
    spoilt = {
        "later": f"{int(expires) + 1}.{nonce}.{signature}",
        "nonce": f"{expires}.{nonce[::-1]}.{signature}",
        "signature": f"{expires}.{nonce}.{signature[::-1]}",
        "form": "nothing",
    }[spoil]
    keyed.set_cookie(COOKIE, spoilt)
    assert keyed.get("/v1/styles").status_code == 401


def test_a_session_ends_with_its_time_and_with_its_key(
    keyed: FlaskClient, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    keyed.get("/try")
    assert keyed.get("/v1/styles").status_code == 200
    later = time.time() + GOOD_FOR_S + 1
    with monkeypatch.context() as patched:
        patched.setattr("service.page.session.time.time", lambda: later)
        assert keyed.get("/v1/styles").status_code == 401
    book = KeyBook(keys_file(settings))
    (only,) = (book.read() or {}).values()
    book.revoke(only.id, NOW)
    assert keyed.get("/v1/styles").status_code == 401 and keyed.get("/try").status_code == 404


def test_a_key_of_ones_own_goes_before_the_pages(keyed: FlaskClient, settings: Settings) -> None:
    keyed.get("/try")
    own = key(settings, Scope.READ, caller="alder")
    assert keyed.post("/v1/baits", json=GRUB, headers={**own, **mark()}).status_code == 403
