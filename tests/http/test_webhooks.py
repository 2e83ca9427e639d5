"""Webhooks over HTTP: kept, shown without their secret, changed, forgotten, and refused in words."""

from __future__ import annotations

import base64
import time
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.backing import Backing
from tests.hooks.test_addresses import REFUSED_AS_WRITTEN
from tests.http.fakes import FakeWebhooks
from tests.http.test_problems import problem
from worker.records.webhooks import Standing, Webhook

OURS: dict[str, Any] = {"address": "https://hooks.alderbank.example/till", "events": ["bait.failed", "bait.finished"]}
HERE = "/v1/webhooks/till"


def test_it_is_kept_with_a_secret_that_is_shown_once(client: FlaskClient) -> None:
    made = client.put(HERE, json=OURS)
    assert made.status_code == 201 and made.headers["Location"] == HERE
    secret = made.json["secret"]
    assert secret.startswith("whsec_") and len(base64.b64decode(secret.removeprefix("whsec_"))) == 32
    assert made.json["events"] == ["bait.finished", "bait.failed"] and made.json["status"] == "active"
    shown, listed = client.get(HERE), client.get("/v1/webhooks")
    assert shown.json == {name: value for name, value in made.json.items() if name != "secret"}
    assert listed.json == {"webhooks": [shown.json]}
    assert shown.headers["ETag"] == made.headers["ETag"]
    again = client.put(HERE, json={"address": "https://hooks.alderbank.example/other"})
    assert again.status_code == 200 and "secret" not in again.json
    assert again.json["events"] == ["bait.finished", "bait.failed", "bait.dismissed"]
    for answer in (shown, listed, again):
        assert secret not in answer.text and "whsec" not in answer.text
    assert client.delete(HERE).status_code == 204
    problem(client.get(HERE), 404, "not-found")
    problem(client.delete(HERE), 404, "not-found")


def test_a_new_secret_is_made_when_it_is_asked_for(client: FlaskClient, backing: Backing) -> None:
    first = client.put(HERE, json=OURS).json["secret"]
    second = client.put(HERE, json={**OURS, "new_secret": True}).json["secret"]
    assert first != second
    found = backing.webhooks.get("local", "till")
    assert found is not None
    assert [secret for secret, _ in found[0].secrets] == [second, first]
    assert found[0].secrets[0][1] is None and found[0].secrets[1][1] is not None


def test_a_disabled_one_says_so_and_is_active_again_once_it_is_put(client: FlaskClient, backing: Backing) -> None:
    client.put(HERE, json=OURS)
    webhooks = backing.webhooks
    assert isinstance(webhooks, FakeWebhooks)
    of = webhooks.kept["local", "till"].id
    since = "2026-03-01T08:00:00.000Z"
    webhooks.standings["local", "till"] = Standing(of=of, last_reason="Answered 500.", disabled_since=since)
    shown = client.get(HERE).json
    assert (shown["status"], shown["disabled_since"], shown["last_reason"]) == ("disabled", since, "Answered 500.")
    client.put(HERE, json=OURS)
    assert client.get(HERE).json["status"] == "active"


def test_conditions_keep_two_writers_apart(client: FlaskClient) -> None:
    first = client.put(HERE, json=OURS, headers={"If-None-Match": "*"})
    problem(client.put(HERE, json=OURS, headers={"If-None-Match": "*"}), 412, "precondition-failed")
    tag = first.headers["ETag"]
    assert client.put(HERE, json={**OURS, "events": ["bait.failed"]}, headers={"If-Match": tag}).status_code == 200
    problem(client.put(HERE, json=OURS, headers={"If-Match": tag}), 412, "precondition-failed")
    problem(client.delete(HERE, headers={"If-Match": tag}), 412, "precondition-failed")


def test_a_delivery_changes_what_is_told_and_stops_no_writer(client: FlaskClient, backing: Backing) -> None:
    made = client.put(HERE, json=OURS).headers["ETag"]
    webhooks = backing.webhooks
    assert isinstance(webhooks, FakeWebhooks)
    standing = Standing(of=webhooks.kept["local", "till"].id, last_success="2026-03-01T08:00:00.000Z")
    webhooks.standings["local", "till"] = standing
    # Whoever watches it hears of the delivery (a strong tag changes with any byte: RFC 9110, 8.8.1)
    shown = client.get(HERE, headers={"If-None-Match": made})
    assert shown.status_code == 200 and shown.json["last_success"] and shown.headers["ETag"] != made
    assert client.get(HERE, headers={"If-None-Match": shown.headers["ETag"]}).status_code == 304
    # Whoever changes it has seen all that he could undo
    for listed in (made, f'"other", {made}', f"W/{made}", "*"):
        problem(client.put(HERE, json=OURS, headers={"If-None-Match": listed}), 412, "precondition-failed")
        problem(client.delete(HERE, headers={"If-None-Match": listed}), 412, "precondition-failed")
    changed = client.put(HERE, json={**OURS, "new_secret": True}, headers={"If-Match": made})
    assert changed.status_code == 200
    problem(client.put(HERE, json={**OURS, "new_secret": True}, headers={"If-Match": made}), 412, "precondition-failed")
    problem(client.put("/v1/webhooks/other", json=OURS, headers={"If-Match": "*"}), 412, "precondition-failed")
    assert client.delete(HERE, headers={"If-Match": changed.headers["ETag"]}).status_code == 204


def test_a_change_in_between_is_seen_and_too_many_are_given_up(client: FlaskClient, backing: Backing) -> None:
    client.put(HERE, json=OURS)
    webhooks = backing.webhooks
    assert isinstance(webhooks, FakeWebhooks)
    swap, others = webhooks.swap, [2]

    def swap_after_another(caller: str, name: str, present: Webhook | None, wanted: Webhook | None) -> bool:
        if others[0]:
            others[0] -= 1
            now = webhooks.kept[caller, name]
            webhooks.kept[caller, name] = now.with_secret(f"whsec_{others[0]}", time.time())
        return swap(caller, name, present, wanted)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(webhooks, "swap", swap_after_another)
        assert client.put(HERE, json={**OURS, "events": ["bait.failed"]}).status_code == 200
        assert [one for one, _ in webhooks.kept["local", "till"].secrets][:2] == ["whsec_0", "whsec_1"]
        others[0] = 100
        problem(client.put(HERE, json=OURS), 503, "busy")


@pytest.mark.parametrize("address", REFUSED_AS_WRITTEN)
def test_forbidden_addresses_are_refused(client: FlaskClient, address: str) -> None:
    document = problem(client.put(HERE, json={"address": address}), 422, "invalid-request")
    assert [fault["pointer"] for fault in document["errors"]] == ["/address"]
    assert document["errors"][0]["code"] == "address-forbidden"


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ([], {""}),
        ({}, {"/address"}),
        ({"address": 7, "events": "all", "new_secret": 1}, {"/address", "/events", "/new_secret"}),
        ({**OURS, "events": ["bait.finished", "bait.lost", ["bait.failed"]]}, {"/events/1", "/events/2"}),
        ({**OURS, "events": []}, {"/events"}),
        ({**OURS, "secret": "whsec_mine", "a/b": 1}, {"/secret", "/a~1b"}),
    ],
)
def test_every_fault_is_named(client: FlaskClient, body: Any, pointers: set[str]) -> None:
    document = problem(client.put(HERE, json=body), 422, "invalid-request")
    assert {fault["pointer"] for fault in document["errors"]} == pointers


def test_names_and_numbers_are_bounded(client: FlaskClient) -> None:
    problem(client.put("/v1/webhooks/Our%20own", json=OURS), 422, "invalid-request")
    for number in range(20):
        assert client.put(f"/v1/webhooks/w{number}", json=OURS).status_code == 201
    problem(client.put("/v1/webhooks/w20", json=OURS), 409, "full")
    assert client.put("/v1/webhooks/w0", json=OURS).status_code == 200
