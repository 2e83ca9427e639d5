"""Signed links: one file, for whoever has the link, until it expires."""

from __future__ import annotations

import hmac
import logging
import time
from base64 import urlsafe_b64encode
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.backing import Backing
from service.links import LONGEST_S, SECRETS_FILE, LinkSigner, kept_secrets
from tests.http.fakes import FakeBaits
from tests.http.keys import key
from tests.http.test_openapi import schema
from tests.http.test_problems import problem
from worker.errors import SettingsInvalid
from worker.settings import Settings, load
from worker.settings.told import values_told

CONTENT = b"a solid" * 100
OLD, NEW = "o" * 32, "n" * 32


@pytest.fixture
def bait(client: FlaskClient, baits: FakeBaits, worm: dict[str, Any]) -> str:
    bait_id = client.post("/v1/baits", json=worm).json["id"]
    baits.succeed(bait_id, **{"bait.stl": CONTENT, "metrics.json": b"{}"})
    return str(bait_id)


def made(client: FlaskClient, bait: str, **more: Any) -> Any:
    answer = client.post("/v1/links", json={"bait": bait, "file": "bait.stl", **more})
    assert answer.status_code == 201
    return answer.json


def fetch(client: FlaskClient, href: str, method: str = "GET", **headers: str) -> Any:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return client.open(href, method=method, buffered=True, headers=named)


def test_a_link_opens_the_file_without_a_key_and_nothing_else_does(
    client: FlaskClient, settings: Settings, baits: FakeBaits, worm: dict[str, Any]
) -> None:
    # Given a bait of a caller with a key
    alder, birch = key(settings, caller="alder"), key(settings, caller="birch")
    bait = client.post("/v1/baits", json=worm, headers=alder).json["id"]
    baits.succeed(bait, "alder", **{"bait.stl": CONTENT})
    asked = {"bait": bait, "file": "bait.stl", "seconds": 600}
    # Then only a key of his that builds makes a link to it
    problem(client.post("/v1/links", json=asked), 401, "key-missing")
    problem(client.post("/v1/links", json=asked, headers=birch), 404, "not-found")
    answer = client.post("/v1/links", json=asked, headers=alder)
    assert answer.status_code == 201
    schema("Link").validate(answer.json)
    schema("LinkRequest").validate(asked)
    href = answer.json["href"]
    # And without a key it gives the file, its tag, its ranges
    got = fetch(client, href)
    assert got.status_code == 200 and got.data == CONTENT
    assert got.headers["ETag"] == fetch(client, f"/v1/baits/{bait}/files/bait.stl", **alder).headers["ETag"]
    assert got.headers["Cross-Origin-Resource-Policy"] == "cross-origin"
    assert len(got.headers.getlist("Cross-Origin-Resource-Policy")) == 1
    assert fetch(client, href, "HEAD").headers["Content-Length"] == str(len(CONTENT))
    assert fetch(client, href, If_None_Match=got.headers["ETag"]).status_code == 304
    part = fetch(client, href, Range="bytes=3-6")
    assert part.status_code == 206 and part.data == CONTENT[3:7]
    # And a page at another name may show it, which without keys is otherwise refused
    assert fetch(client, href, Host="shop.example").status_code == 200


def test_caches_keep_it_no_longer_than_it_lives(client: FlaskClient, bait: str) -> None:
    href = made(client, bait, seconds=600)["href"]
    kept = fetch(client, href).headers["Cache-Control"]
    age = int(kept.removeprefix("public, max-age=").removesuffix(", immutable"))
    assert 590 <= age <= 600


@pytest.mark.parametrize("part", range(3, 8))
def test_a_link_with_any_part_altered_is_unknown(client: FlaskClient, bait: str, part: int) -> None:
    made(client, bait)
    pieces = made(client, bait)["href"].replace(".", "/", 1).split("/")
    others = {3: str(int(pieces[3]) + 1), 4: "A" * 43, 5: "birch", 6: "0" * 64, 7: "metrics.json"}
    pieces[part] = others[part]
    href = f"/v1/links/{pieces[3]}.{pieces[4]}/" + "/".join(pieces[5:])
    problem(fetch(client, href), 404, "not-found")


@pytest.mark.parametrize("expiry", ["", "0", "01", "-5", "9" * 13, "1e9", "٣٣٣", " 99"])
def test_an_expiry_that_is_no_moment_is_unknown(client: FlaskClient, bait: str, expiry: str) -> None:
    signature = made(client, bait)["href"].split("/")[3].split(".")[1]
    problem(fetch(client, f"/v1/links/{expiry}.{signature}/local/{bait}/bait.stl"), 404, "not-found")


def test_an_expired_link_says_so(client: FlaskClient, backing: Backing, bait: str) -> None:
    then = int(time.time()) - 1
    signature = backing.links.sign("local", bait, "bait.stl", then)
    problem(fetch(client, f"/v1/links/{then}.{signature}/local/{bait}/bait.stl"), 403, "link-expired")


def test_a_link_to_what_is_not_there_is_not_made(client: FlaskClient, bait: str) -> None:
    for body in ({"bait": "0" * 64, "file": "bait.stl"}, {"bait": bait, "file": "../keys.json"}):
        problem(client.post("/v1/links", json=body), 404, "not-found")
    unfinished = client.post("/v1/baits", json={"style": "grub"}).json["id"]
    problem(client.post("/v1/links", json={"bait": unfinished, "file": "bait.stl"}), 404, "not-found")
    refused = problem(client.post("/v1/links", json={"seconds": LONGEST_S + 1, "x": 1}), 422, "invalid-request")
    assert [fault["pointer"] for fault in refused["errors"]] == ["/bait", "/file", "/seconds", "/x"]


def test_to_make_one_is_to_use_the_bait(client: FlaskClient, baits: FakeBaits, bait: str) -> None:
    made(client, bait)
    assert baits.used == [bait]


def test_what_may_end_it_sooner_is_told(settings: Settings, backing: Backing, bait: str) -> None:
    def told(seconds: int, **kept: int) -> Any:
        app = create_app(replace(settings, **kept), backing)  # type: ignore[arg-type]
        answer = made(app.test_client(), bait, seconds=seconds)
        schema("Link").validate(answer)
        return answer["may_end_sooner"]

    assert told(LONGEST_S, keep_hours=0, keep_mib=0) is None
    assert told(3600, keep_hours=1, keep_mib=0) is None, "to make it is to use the bait"
    assert "asked for the bait for 1 hours" in told(3601, keep_hours=1, keep_mib=0)
    assert "10 MiB" in (text := told(60, keep_hours=1, keep_mib=10)) and "hours" not in text


def test_one_whose_file_was_cleared_away_says_so_and_opens_it_again_once_it_is_built(
    client: FlaskClient, baits: FakeBaits, bait: str
) -> None:
    href = made(client, bait)["href"]
    swept = baits.kept.pop(("local", bait))
    assert "cleared away" in problem(fetch(client, href), 404, "not-found")["detail"]
    baits.kept["local", bait] = swept
    assert fetch(client, href).status_code == 200


def test_of_several_secrets_the_first_signs_and_all_verify(settings: Settings, backing: Backing, bait: str) -> None:
    def client_with(*secrets: str) -> FlaskClient:
        signer = LinkSigner.open(replace(settings, link_secrets=secrets))
        return create_app(settings, replace(backing, links=signer)).test_client()

    old = made(client_with(OLD), bait)["href"]
    both = client_with(NEW, OLD)
    new = made(both, bait)["href"]
    assert fetch(both, old).status_code == fetch(both, new).status_code == 200
    assert fetch(client_with(NEW), new).status_code == 200
    problem(fetch(client_with(NEW), old), 404, "not-found")
    # RFC 2104 and FIPS 180-4 by the library, over the text that the module tells
    expires, signature = new.split("/")[3].split(".")
    said = "\n".join(("pourwright link 1", "local", bait, "bait.stl", expires)).encode()
    assert signature == urlsafe_b64encode(hmac.digest(NEW.encode(), said, "sha256")).rstrip(b"=").decode()


def test_without_a_setting_a_secret_is_made_once_for_its_owner_alone(
    client: FlaskClient, settings: Settings, bait: str, caplog: pytest.LogCaptureFixture
) -> None:
    path = settings.state_dir / SECRETS_FILE
    assert not path.exists()
    with caplog.at_level(logging.DEBUG):
        href = made(client, bait)["href"]
        assert fetch(client, href).status_code == 200
    secret = path.read_text().strip()
    assert len(secret) == 43 and path.stat().st_mode & 0o777 == 0o600
    assert secret not in caplog.text and sorted(path.parent.glob(".link-*")) == []
    # A line put before it signs from then on, and the old one still verifies
    path.write_text(f"{NEW}\n{secret}\n")
    assert fetch(client, href).status_code == 200
    assert kept_secrets(path) == (NEW, secret)


def test_secrets_that_could_be_guessed_are_refused_without_being_told(tmp_path: Path) -> None:
    environ = {"POURWRIGHT_LINK_SECRETS": f"{NEW},short-one"}
    with pytest.raises(SettingsInvalid) as refused:
        load(environ)
    assert "POURWRIGHT_LINK_SECRETS" in refused.value.detail
    assert "short-one" not in refused.value.detail and "short-one" not in values_told(environ)
    assert NEW not in values_told({"POURWRIGHT_LINK_SECRETS": NEW})
