"""Without keys a call must name this machine."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.app import create_app
from service.backing import Backing
from tests.http.keys import key
from tests.http.test_problems import problem
from worker.settings import Settings


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
