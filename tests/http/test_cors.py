"""Other origins: none may read by default, and those that are named may read what they need (the Fetch standard)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.backing import Backing
from service.server_worker import refusal
from worker.settings import Settings

SHOP = "https://shop.example"


@pytest.fixture
def open_to_shop(settings: Settings, backing: Backing) -> FlaskClient:
    return create_app(replace(settings, cors_origins=(SHOP, "http://127.0.0.1:5173")), backing).test_client()


def granted(headers: object) -> list[str]:
    return [line for line in str(headers).splitlines() if line.lower().startswith("access-control-")]


def test_by_default_no_origin_is_told_anything(client: FlaskClient) -> None:
    for method in ("GET", "OPTIONS"):
        asked = {"Origin": SHOP, "Access-Control-Request-Method": "GET"}
        assert granted(client.open("/v1/styles", method=method, headers=asked).headers) == []


def test_an_origin_that_is_named_may_read_problems_too(open_to_shop: FlaskClient) -> None:
    for path in ("/v1/styles", "/v1/baits/" + "0" * 64, "/v1/nothing"):
        answer = open_to_shop.get(path, headers={"Origin": SHOP})
        assert answer.headers["Access-Control-Allow-Origin"] == SHOP
        exposed = answer.headers["Access-Control-Expose-Headers"]
        assert {"ETag", "Location", "Retry-After", "WWW-Authenticate"} <= {name.strip() for name in exposed.split(",")}
        assert "Origin" in answer.vary
        assert "Access-Control-Allow-Credentials" not in answer.headers


@pytest.mark.parametrize(
    "origin", ["https://shop.example.evil.example", "http://shop.example", "https://SHOP.example", "null", "*", ""]
)
def test_any_other_is_told_nothing_but_the_answer_still_varies(open_to_shop: FlaskClient, origin: str) -> None:
    answer = open_to_shop.get("/v1/styles", headers={"Origin": origin})
    assert granted(answer.headers) == [] and "Origin" in answer.vary


def test_an_answer_to_nobody_in_particular_varies_too(open_to_shop: FlaskClient) -> None:
    assert "Origin" in open_to_shop.get("/v1/styles").vary


def test_a_browser_that_asks_before_the_call_is_told_what_the_address_takes(open_to_shop: FlaskClient) -> None:
    asked = {
        "Origin": SHOP,
        "Access-Control-Request-Method": "POST",
        "Access-Control-Request-Headers": "authorization,content-type,prefer",
    }
    answer = open_to_shop.options("/v1/baits", headers=asked)
    assert answer.status_code == 200 and answer.data == b""
    assert answer.headers["Access-Control-Allow-Origin"] == SHOP
    assert "POST" in answer.headers["Access-Control-Allow-Methods"]
    allowed = {name.strip().lower() for name in answer.headers["Access-Control-Allow-Headers"].split(",")}
    assert {"authorization", "content-type", "prefer", "idempotency-key", "range", "if-none-match"} <= allowed
    assert int(answer.headers["Access-Control-Max-Age"]) > 0


def test_what_the_server_itself_refuses_carries_the_security_headers() -> None:
    head = refusal(400, "bad-request", "No").partition(b"\r\n\r\n")[0].decode().split("\r\n")
    assert {"X-Content-Type-Options: nosniff", "X-Frame-Options: DENY", "Referrer-Policy: no-referrer"} <= set(head)


def test_the_reference_page_keeps_its_window_to_itself(client: FlaskClient) -> None:
    assert client.get("/docs").headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert "Cross-Origin-Opener-Policy" not in client.get("/v1/styles").headers
