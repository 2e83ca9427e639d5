"""The rules of the contract for POST, GET and DELETE on baits, over stand-ins."""

from __future__ import annotations

import json
import threading
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.backing import Backing
from tests.http.fakes import CREATED, FINISHED, FakeBaits
from tests.http.test_problems import problem

MEMBERS = {
    "id",
    "status",
    "request",
    "metrics",
    "checks",
    "files",
    "cautions",
    "created",
    "finished",
    "timings",
    "links",
}

Worm = dict[str, Any]


def post(client: FlaskClient, worm: Worm, **headers: str) -> Any:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return client.post("/v1/baits", json=worm, headers=named)


# Given a bait nobody has asked for


def test_a_new_bait_is_202_with_where_and_when_to_look(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    response = post(client, worm)
    assert response.status_code == 202
    assert set(response.json) == MEMBERS
    assert response.json["status"] == "accepted" and response.json["files"] == []
    assert response.json["created"] == CREATED and response.json["finished"] is None
    assert response.headers["Location"] == response.json["links"]["self"] == f"/v1/baits/{baits.jobs[0]}"
    assert int(response.headers["Retry-After"]) >= 1
    assert response.headers["Vary"] == "Prefer"
    assert "Preference-Applied" not in response.headers
    assert baits.now == 0


def test_new_and_ended_within_the_wait_is_201(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    baits.during_wait = baits.succeed
    response = post(client, worm, Prefer="wait=10")
    assert response.status_code == 201
    assert response.json["status"] == "successful" and response.json["finished"] == FINISHED
    assert response.headers["Preference-Applied"] == "wait=10"
    assert response.headers["Location"] == response.json["links"]["self"]
    assert "Retry-After" not in response.headers
    assert baits.now == 0  # it did not take the whole wait


def test_a_build_that_fails_within_the_wait_is_a_new_bait_and_not_an_error(
    client: FlaskClient, baits: FakeBaits, worm: Worm
) -> None:
    baits.during_wait = baits.fail
    response = post(client, worm, Prefer="wait=10")
    assert response.status_code == 201 and response.mimetype == "application/json"
    assert response.json["status"] == "failed"
    assert response.json["problem"]["type"] == "urn:pourwright:problem:time-limit"
    assert response.json["files"] == []


def test_still_under_way_when_the_time_is_up_is_202(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    baits.during_wait = baits.run
    response = post(client, worm, Prefer="wait=3")
    assert response.status_code == 202 and response.json["status"] == "running"
    assert response.headers["Preference-Applied"] == "wait=3"
    assert "Retry-After" in response.headers


@pytest.mark.parametrize(
    ("prefer", "waited", "applied"),
    [
        ("wait=100", 25, "wait=25"),
        ("respond-async, wait=10", 10, "wait=10"),
        ("wait=10, respond-async", 10, "wait=10"),
        ("wait=0", 0, "wait=0"),
        ("respond-async", 0, "respond-async"),
        ("wait=soon", 0, None),
        ("return=minimal", 0, None),
    ],
)
def test_the_wait_that_was_applied_is_echoed(
    client: FlaskClient, baits: FakeBaits, worm: Worm, prefer: str, waited: float, applied: str | None
) -> None:
    response = post(client, worm, Prefer=prefer)
    assert response.status_code == 202
    assert baits.now == waited
    assert response.headers.get("Preference-Applied") == applied


def test_without_a_free_place_to_wait_the_answer_comes_at_once(
    app: Flask, backing: Backing, baits: FakeBaits, worm: Worm
) -> None:
    with backing.waiters.place() as one, backing.waiters.place() as two:
        assert one and two
        response = post(app.test_client(), worm, Prefer="wait=10")
    assert response.status_code == 202 and baits.now == 0
    assert "Preference-Applied" not in response.headers
    # When the places are free again they are used again
    assert post(app.test_client(), worm, Prefer="wait=10").headers["Preference-Applied"] == "wait=10"


def test_a_service_that_stops_answers_those_who_wait(
    client: FlaskClient, backing: Backing, baits: FakeBaits, worm: Worm
) -> None:
    baits.during_wait = lambda bait_id: backing.waiters.stop()
    response = post(client, worm, Prefer="wait=25")
    assert response.status_code == 202 and baits.now <= 1


def test_waiters_give_their_places_back_even_when_the_wait_fails(backing: Backing) -> None:
    for _ in range(5):
        with pytest.raises(ZeroDivisionError), backing.waiters.place() as got:
            assert got
            raise ZeroDivisionError


# Given a bait that is known


def test_a_bait_under_way_is_202_without_another_job(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    first, second = post(client, worm), post(client, worm)
    assert second.status_code == 202 and second.json["id"] == first.json["id"]
    assert len(baits.jobs) == 1


def test_known_and_ended_within_this_wait_is_200(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    post(client, worm)
    baits.during_wait = baits.succeed
    assert post(client, worm, Prefer="wait=5").status_code == 200


@pytest.mark.parametrize("end", ["succeed", "fail"])
def test_ended_before_is_200_without_a_job(client: FlaskClient, baits: FakeBaits, worm: Worm, end: str) -> None:
    bait_id = post(client, worm).json["id"]
    getattr(baits, end)(bait_id)
    response = post(client, worm)
    assert response.status_code == 200 and response.headers["Location"].endswith(bait_id)
    assert "Retry-After" not in response.headers
    assert len(baits.jobs) == 1


def test_dismissed_before_is_built_again_under_the_same_id(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    path = post(client, worm).headers["Location"]
    client.delete(path)
    response = post(client, worm)
    assert response.status_code == 202 and response.headers["Location"] == path
    assert len(baits.jobs) == 2


def test_units_order_and_defaults_do_not_make_another_bait(client: FlaskClient, baits: FakeBaits) -> None:
    params = [
        {"length": "4-3/4 in", "bead_count": 16},
        {"bead_count": 16.0, "length": 120.65},
        {"length": "120.65 mm", "bead_count": 16},
    ]
    ids = {post(client, {"params": one, "style": "beaded_worm"}).json["id"] for one in params}
    assert len(ids) == 1 and len(baits.jobs) == 1


def test_the_label_is_echoed_to_its_sender_and_kept_nowhere(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    first = post(client, {**worm, "label": "Alderbank 5"})
    other = post(client, {**worm, "label": "Second sort"})
    assert (first.json["label"], other.json["label"]) == ("Alderbank 5", "Second sort")
    assert first.json["id"] == other.json["id"]
    assert "label" not in client.get(first.headers["Location"]).json
    assert "label" not in first.json["request"]


# Idempotency-Key


def test_the_same_key_with_the_same_request_changes_nothing(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    first = post(client, worm, Idempotency_Key='"order-1207"')
    again = post(client, worm, Idempotency_Key='"order-1207"')
    assert (first.status_code, again.status_code) == (202, 202)
    assert len(baits.jobs) == 1


def test_the_same_key_with_another_request_is_422_without_a_job(
    client: FlaskClient, baits: FakeBaits, worm: Worm
) -> None:
    post(client, worm, Idempotency_Key='"order-1207"')
    response = post(client, {"style": "jointed_worm"}, Idempotency_Key='"order-1207"')
    problem(response, 422, "idempotency-key-reused")
    assert len(baits.jobs) == 1
    assert post(client, {"style": "jointed_worm"}, Idempotency_Key='"order-1208"').status_code == 202


def test_a_quoted_and_a_bare_key_are_one(client: FlaskClient, worm: Worm) -> None:
    post(client, worm, Idempotency_Key='"order-1207"')
    problem(post(client, {"style": "jointed_worm"}, Idempotency_Key="order-1207"), 422, "idempotency-key-reused")


@pytest.mark.parametrize("key", ["", '""', '"a', "a b", '"' + "k" * 256 + '"', '"caf\u00e9"'])
def test_a_key_that_cannot_be_read_is_400(client: FlaskClient, baits: FakeBaits, worm: Worm, key: str) -> None:
    problem(post(client, worm, Idempotency_Key=key), 400, "malformed-header")
    assert baits.jobs == []


# GET


@pytest.mark.parametrize("path", ["/v1/baits/" + "0" * 64, "/v1/baits/xyz", "/v1/baits/" + "A" * 64])
@pytest.mark.parametrize("method", ["GET", "DELETE"])
def test_an_unknown_bait_is_404(client: FlaskClient, path: str, method: str) -> None:
    problem(client.open(path, method=method), 404, "not-found")


def test_a_bait_under_way_says_when_to_look_again_and_has_no_tag(client: FlaskClient, worm: Worm) -> None:
    response = client.get(post(client, worm).headers["Location"])
    assert response.status_code == 200 and set(response.json) == MEMBERS
    assert "Retry-After" in response.headers and "ETag" not in response.headers
    assert response.headers["Cache-Control"] == "no-store"


def test_an_ended_bait_has_a_tag_and_304_follows_from_it(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    path = post(client, worm).headers["Location"]
    baits.succeed(baits.jobs[0])
    whole = client.get(path)
    assert whole.status_code == 200 and "Retry-After" not in whole.headers
    unchanged = client.get(path, headers={"If-None-Match": whole.headers["ETag"]})
    assert unchanged.status_code == 304 and unchanged.data == b""
    # RFC 9110, 15.4.5: these of the headers of the 200 come with a 304 too
    for name in ("ETag", "Cache-Control", "Vary"):
        assert unchanged.headers[name] == whole.headers[name]
    assert client.get(path, headers={"If-None-Match": '"other"'}).status_code == 200
    problem(client.get(path, headers={"If-Match": '"other"'}), 412, "precondition-failed")


def test_a_tag_does_not_outlive_the_attempt(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    path = post(client, worm).headers["Location"]
    client.delete(path)
    tag = client.get(path).headers["ETag"]
    post(client, worm)
    assert client.get(path, headers={"If-None-Match": tag}).status_code == 200
    baits.succeed(baits.jobs[0])
    assert client.get(path, headers={"If-None-Match": tag}).json["status"] == "successful"


@pytest.mark.parametrize(
    ("query", "prefer", "waited", "applied"),
    [
        ("?wait=7", None, 7, None),
        ("?wait=70", None, 25, None),
        ("?wait=0", None, 0, None),
        ("", "wait=7", 7, "wait=7"),
        ("?wait=4", "wait=7", 4, None),
        ("", None, 0, None),
    ],
)
def test_get_waits_where_it_is_asked_to(
    client: FlaskClient,
    baits: FakeBaits,
    worm: Worm,
    query: str,
    prefer: str | None,
    waited: float,
    applied: str | None,
) -> None:
    path = post(client, worm).headers["Location"]
    response = client.get(path + query, headers={"Prefer": prefer} if prefer else {})
    assert baits.now == waited
    assert response.headers.get("Preference-Applied") == applied
    assert response.headers["Vary"] == "Prefer"


def test_get_that_waits_answers_with_the_end(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    path = post(client, worm).headers["Location"]
    baits.during_wait = baits.succeed
    assert client.get(path + "?wait=5").json["status"] == "successful"


def test_get_of_an_ended_bait_takes_no_place_to_wait(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    path = post(client, worm).headers["Location"]
    baits.succeed(baits.jobs[0])
    assert client.get(path + "?wait=25").status_code == 200
    assert baits.now == 0


@pytest.mark.parametrize("wait", ["soon", "-1", "1.5", ""])
def test_a_wait_that_cannot_be_read_is_422(client: FlaskClient, worm: Worm, wait: str) -> None:
    response = client.get(post(client, worm).headers["Location"] + f"?wait={wait}")
    (fault,) = problem(response, 422, "invalid-request")["errors"]
    assert fault["pointer"] == "/wait"


def test_a_successful_bait_lists_its_files_with_their_addresses(
    client: FlaskClient, baits: FakeBaits, worm: Worm
) -> None:
    path = post(client, worm).headers["Location"]
    baits.succeed(baits.jobs[0])
    (file,) = client.get(path).json["files"]
    assert set(file) == {"name", "output", "media_type", "bytes", "sha256", "href"}
    assert file["href"] == path + "/files/bait.stl"


# DELETE


def test_a_bait_under_way_is_dismissed_and_stays_so(client: FlaskClient, worm: Worm) -> None:
    path = post(client, worm).headers["Location"]
    for _ in range(2):
        response = client.delete(path)
        assert response.status_code == 200 and response.json["status"] == "dismissed"
    assert client.get(path).json["status"] == "dismissed"


@pytest.mark.parametrize("end", ["succeed", "fail"])
def test_an_ended_bait_is_removed_and_then_unknown(client: FlaskClient, baits: FakeBaits, worm: Worm, end: str) -> None:
    path = post(client, worm).headers["Location"]
    getattr(baits, end)(baits.jobs[0])
    response = client.delete(path)
    assert response.status_code == 204 and response.data == b""
    problem(client.delete(path), 404, "not-found")
    problem(client.get(path), 404, "not-found")


def test_a_bait_that_ends_before_it_can_be_dismissed_is_removed(
    client: FlaskClient, baits: FakeBaits, worm: Worm, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = post(client, worm).headers["Location"]

    def ended_meanwhile(caller: str, bait_id: str) -> Any:
        baits.succeed(bait_id)
        return baits.view(caller, bait_id)

    monkeypatch.setattr(baits, "dismiss", ended_meanwhile)
    assert client.delete(path).status_code == 204
    problem(client.get(path), 404, "not-found")


# The store is away


def test_a_store_that_is_away_is_503_and_nothing_is_taken(client: FlaskClient, baits: FakeBaits, worm: Worm) -> None:
    baits.away = True
    response = post(client, worm)
    problem(response, 503, "store-unavailable")
    assert "Retry-After" in response.headers and baits.jobs == []


# Many at once


def test_fifty_equal_posts_at_once_are_one_job(app: Flask, baits: FakeBaits, worm: Worm) -> None:
    turn = threading.Lock()
    submit = baits.submit

    def one_at_a_time(*arguments: Any, **named: Any) -> Any:  # as the store's script does it
        with turn:
            return submit(*arguments, **named)

    baits.submit = one_at_a_time  # type: ignore[method-assign]
    found: list[str] = []
    threads = [
        threading.Thread(target=lambda: found.append(post(app.test_client(), worm).json["id"])) for _ in range(50)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 50 and len(set(found)) == 1 and len(baits.jobs) == 1


def test_the_body_is_compact_json_in_utf_8(client: FlaskClient, worm: Worm) -> None:
    response = post(client, {**worm, "label": "Würmchen"})
    assert "Würmchen".encode() in response.data and b'": ' not in response.data
    assert json.loads(response.data)["label"] == "Würmchen"
