"""So many calls a minute for a caller with a key, told by the fields of the RateLimit draft; and a full queue."""

from __future__ import annotations

import re
import threading

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.backing import Backing
from service.counting import COUNTED
from service.rates import StoredRates
from tests.http.fakes import FakeBaits, FakeRates
from tests.http.keys import key
from tests.http.running import Answer, service
from tests.http.test_problems import problem
from tests.stack import Stack, stack
from worker.records.connect import for_service
from worker.settings import Settings, load

GRUB = {"style": "grub"}


@pytest.fixture
def rates(backing: Backing) -> FakeRates:
    assert isinstance(backing.rates, FakeRates)
    return backing.rates


def test_a_caller_is_told_where_it_stands_and_then_to_come_back(
    client: FlaskClient, settings: Settings, rates: FakeRates, baits: FakeBaits
) -> None:
    rates.quotas["baits"] = 2
    alder, birch = key(settings, caller="alder"), key(settings, caller="birch")
    for left in (1, 0):
        answer = client.post("/v1/baits", json=GRUB, headers=alder)
        assert answer.status_code == 202
        # draft-ietf-httpapi-ratelimit-headers: lists of items, the policy's name a string
        assert answer.headers["RateLimit-Policy"] == '"baits";q=2;w=60'
        assert answer.headers["RateLimit"] == f'"baits";r={left};t=42'
    taken = len(baits.jobs)
    refused = client.post("/v1/baits", json={"style": "craw"}, headers=alder)
    problem(refused, 429, "rate-exceeded")
    assert refused.headers["Retry-After"] == "42" and refused.headers["RateLimit"] == '"baits";r=0;t=42'
    assert len(baits.jobs) == taken
    # Each caller and each policy on its own, whatever key of his is used
    assert client.post("/v1/baits", json=GRUB, headers=key(settings, caller="alder")).status_code == 429
    assert client.post("/v1/baits", json=GRUB, headers=birch).status_code == 202
    assert client.post("/v1/estimates", json=GRUB, headers=alder).status_code == 200


def test_what_is_refused_for_its_own_faults_counts_and_what_has_no_key_does_not(
    client: FlaskClient, settings: Settings, rates: FakeRates
) -> None:
    client.post("/v1/baits", json=GRUB)
    alder = key(settings)
    assert client.post("/v1/baits", json={"style": "anvil"}, headers=alder).status_code == 422
    assert client.post("/v1/baits", json=GRUB).status_code == 401
    assert client.get("/v1/plastics", headers=alder).status_code == 200
    assert rates.counted == {("baits", "alder"): 1}


OURS = {"grade": "firm", "properties": {"strength": {"low": 3.0, "typical": 3.2, "high": 3.4, "source": "a guess"}}}


@pytest.mark.parametrize(
    ("policy", "method", "path", "body"),
    [
        ("links", "POST", "/v1/links", {"bait": "0" * 64, "file": "bait.stl"}),
        ("changes", "PUT", "/v1/plastics/ours", OURS),
        ("changes", "DELETE", "/v1/plastics/ours", None),
        ("changes", "PUT", "/v1/webhooks/till", {"address": "https://hooks.alderbank.example/"}),
        ("changes", "DELETE", "/v1/webhooks/till", None),
    ],
)
def test_what_leaves_something_behind_is_counted(
    client: FlaskClient, settings: Settings, rates: FakeRates, policy: str, method: str, path: str, body: object
) -> None:
    alder = key(settings)
    rates.quotas[policy] = 1
    assert client.open(path, method=method, json=body, headers=alder).headers["RateLimit"] == f'"{policy}";r=0;t=42'
    problem(client.open(path, method=method, json=body, headers=alder), 429, "rate-exceeded")
    assert rates.counted == {(policy, "alder"): 2}


def test_every_policy_has_a_setting() -> None:
    limits = {f"POURWRIGHT_{policy.upper()}_PER_MINUTE": "1" for policy in COUNTED.values()}
    settings = load({"POURWRIGHT_STORE_URL": "unix:///nobody", **limits})
    limited = StoredRates(for_service(settings), settings)._items
    assert set(limited) == set(COUNTED.values()) and {item.amount for item in limited.values()} == {1}


def test_calls_that_are_counted_are_calls_that_there_are(app: Flask) -> None:
    served = {(method, rule.rule) for rule in app.url_map.iter_rules() for method in rule.methods or ()}
    assert set(COUNTED) <= served


def test_the_store_counts_for_all_and_a_store_that_is_away_stops_nobody() -> None:
    with stack(baits_per_minute=3, estimates_per_minute=0) as below:
        one, other = rates_of(below), rates_of(below)
        told = [standing for each in (one, other) * 2 if (standing := each.count("baits", "alder"))]
        assert [(standing.left, standing.exceeded) for standing in told] == [
            (2, False),
            (1, False),
            (0, False),
            (0, True),
        ]
        assert all(standing.quota == 3 and 1 <= standing.ends_in_s <= 60 for standing in told)
        assert (fresh := one.count("baits", "birch")) is not None and fresh.left == 2
        assert one.count("estimates", "alder") is None
        (name,) = below.connection.keys("pourwright:rate:*alder*")  # type: ignore[misc]
        assert 0 < below.connection.ttl(name) <= 60  # type: ignore[operator]
        below.store.kill()
        assert one.count("baits", "alder") is None


def rates_of(below: Stack) -> StoredRates:
    settings = load(below.environ)
    return StoredRates(for_service(settings), settings)


def test_of_more_submissions_than_may_wait_the_rest_are_refused_and_none_is_lost() -> None:
    def worm(number: int) -> dict[str, object]:
        return {"style": "beaded_worm", "params": {"length": 100 + number / 100}}

    with service(workers=False, queue_limit=20) as full:
        answers: list[Answer] = []

        def ask(first: int) -> None:
            answers.extend(full.call("POST", "/v1/baits", worm(number)) for number in range(first, 60, 6))

        threads = [threading.Thread(target=ask, args=(first,)) for first in range(6)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        taken = [answer for answer in answers if answer.status == 202]
        refused = [answer for answer in answers if answer.status != 202]
        assert (len(taken), len(refused)) == (20, 40)
        for answer in refused:
            problem(answer, 503, "busy")
            assert re.fullmatch("[1-9][0-9]*", answer.headers["Retry-After"])
        assert all(full.call("GET", answer.headers["Location"]).json["status"] == "accepted" for answer in taken)
