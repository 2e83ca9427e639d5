"""Fits over HTTP, on a real store. What a search finds is the test's own here."""

from __future__ import annotations

import hashlib
import json
import threading
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.backing import Backing
from service.estimator import Estimator
from service.metrics import metrics_text
from service.openapi import document
from service.routes import fits as routes
from service.scopes import Scope
from service.stores import open_backing
from tests.http.test_keys import key
from tests.http.test_openapi import schema
from tests.http.test_problems import problem
from tests.stack import Stack, stack
from worker.errors import Busy
from worker.fitting import found as really_found
from worker.records.attempts import Attempts
from worker.records.carrying import Done, carry_out, failure_of_ours
from worker.records.names import BaitName

ASKED: dict[str, Any] = {
    "style": "beaded_worm",
    "params": {"length": "5 in"},
    "free": {"bead_count": {"minimum": 12, "maximum": 20}},
    "require": {"mass_g": {"at_most": 12}},
    "goal": "greatest_flexibility",
}
ANSWER: dict[str, Any] = {
    "outcome": "none",
    "best": None,
    "reasons": [],
    "rules": [],
    "evaluations": {"made": 20, "most": 20},
    "cautions": [],
}
BODY = document()["paths"]["/v1/fits"]["post"]["requestBody"]["content"]["application/json"]
DRAWN = b"<svg xmlns='http://www.w3.org/2000/svg'/>"


@pytest.fixture(scope="module")
def below() -> Iterator[Stack]:
    with stack(fit_queue_limit=2) as made:
        yield made


@pytest.fixture
def real(below: Stack, monkeypatch: pytest.MonkeyPatch) -> Backing:
    with below.connection as connection:
        connection.flushall()
    for folder in below.settings.state_dir.glob("artifacts/local/*/*/*"):
        below.fits.delete("local", folder.name)
    (below.settings.state_dir / "keys.json").unlink(missing_ok=True)
    monkeypatch.setattr(routes, "found", found)
    return open_backing(below.settings)


@pytest.fixture
def client(below: Stack, real: Backing) -> FlaskClient:
    return create_app(below.settings, real).test_client()


@pytest.fixture
def queued(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(routes, "is_small", lambda request: False)


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(routes, "is_small", lambda request: True)


def found(normal: dict[str, Any]) -> Done:
    return Done({"fit.json": b"{}", "tradeoff.svg": DRAWN}, {}, {"answer": ANSWER})


def works(below: Stack, fit_id: str) -> None:
    """What a worker does."""
    attempt, attempts = BaitName("local", fit_id).attempt(1), Attempts(below.connection)
    with below.connection.pipeline(transaction=True) as transaction:
        attempts.hand(attempt, transaction)
        transaction.execute()
    record = attempts.start(attempt)
    assert record is not None
    asked = {**record, "request": json.loads(record["request"])}
    carry_out("fit", attempts, lambda: below.fits._artifacts, attempt, asked, found, failure_of_ours)


def post(client: FlaskClient, body: Any = ASKED, **headers: str) -> Any:
    return client.post("/v1/fits", json=body, headers={name.replace("_", "-"): told for name, told in headers.items()})


@pytest.mark.usefixtures("small")
def test_a_small_fit_is_answered_at_once_and_kept(client: FlaskClient) -> None:
    made = post(client, {**ASKED, "label": "Alderbank limber"})
    assert made.status_code == 201 and made.json["status"] == "successful"
    schema("Fit").validate(made.json)
    assert made.json["label"] == "Alderbank limber" and made.json["answer"] == ANSWER
    path = made.headers["Location"]
    assert path == made.json["links"]["self"] == f"/v1/fits/{made.json['id']}"
    shown = client.get(path)
    assert shown.status_code == 200 and "label" not in shown.json
    assert shown.json == {name: told for name, told in made.json.items() if name != "label"}
    assert client.get(path, headers={"If-None-Match": shown.headers["ETag"]}).status_code == 304
    # Asked for once more, in other words, it is the same one
    again = post(client, {**ASKED, "params": {"length": 127}})
    assert again.status_code == 200 and again.json["id"] == made.json["id"]


@pytest.mark.usefixtures("small")
@pytest.mark.parametrize(
    ("changes", "outcome"),
    [({}, "met"), ({"require": {"mass_g": {"at_most": 1}}}, "nearest"), ({"front": {"points": 4}}, "met")],
    ids=["met", "nearest", "front"],
)
def test_every_bait_in_an_answer_is_ordered_as_it_stands(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch, changes: dict[str, Any], outcome: str
) -> None:
    monkeypatch.setattr(routes, "found", really_found)
    made = post(client, {**ASKED, "evaluations": 60, **changes})
    assert made.status_code == 201, made.json
    schema("Fit").validate(made.json)
    answer = made.json["answer"]
    assert answer["outcome"] == outcome
    assert made.json["links"]["order"] == "/v1/baits"
    points = answer["front"]["points"] if answer["front"] else []
    assert len(points) > 1 if "front" in changes else not points
    for bait in (answer["best"], *points):
        ordered = client.post(made.json["links"]["order"], json=bait["request"])
        assert ordered.status_code in (200, 202)
        assert ordered.headers["Location"] == bait["href"] == f"/v1/baits/{bait['bait']}"
    if outcome == "nearest":
        assert answer["gives"] and all(each["href"] == f"/v1/baits/{each['bait']}" for each in answer["gives"])
    estimated = client.post("/v1/estimates", json=answer["best"]["request"]).json
    assert (estimated["metrics"], estimated["checks"]) == (answer["best"]["metrics"], answer["best"]["checks"])


@pytest.mark.usefixtures("small")
def test_one_that_was_removed_is_found_again_to_the_byte(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(routes, "found", really_found)
    asked = {**ASKED, "evaluations": 60, "front": {"points": 4}}
    first = post(client, asked)
    assert client.delete(first.headers["Location"]).status_code == 204
    again = post(client, asked)
    assert again.status_code == 201
    assert (again.json["answer"], again.json["files"]) == (first.json["answer"], first.json["files"])


@pytest.mark.usefixtures("small")
def test_fits_are_counted_in_their_lane(client: FlaskClient, below: Stack) -> None:
    assert post(client).status_code == 201
    told = metrics_text(below.connection).decode()
    assert 'pourwright_jobs_total{ending="successful",lane="fit"} 1.0' in told
    assert 'pourwright_build_seconds_count{step="search"} 1.0' in told
    assert 'pourwright_baits_waiting{lane="fit"} 0.0' in told


@pytest.mark.usefixtures("small")
def test_its_files_are_kept_for_ever_and_can_be_had_in_part(client: FlaskClient) -> None:
    made = post(client).json
    files = {file["name"]: file for file in made["files"]}
    assert set(files) == {"fit.json", "tradeoff.svg"}
    digest = hashlib.sha256(DRAWN).hexdigest()
    with client.get(files["tradeoff.svg"]["href"]) as whole:
        assert whole.data == DRAWN
    assert whole.headers["ETag"] == f'"{digest}"' and files["tradeoff.svg"]["sha256"] == digest
    assert whole.mimetype == "image/svg+xml" and "immutable" in whole.headers["Cache-Control"]
    assert whole.headers["Content-Disposition"] == f"inline; filename=fit-{made['id'][:8]}-tradeoff.svg"
    with client.get(files["tradeoff.svg"]["href"], headers={"Range": "bytes=0-3"}) as part:
        assert part.status_code == 206 and part.data == DRAWN[:4]
    head = client.head(files["fit.json"]["href"])
    assert head.status_code == 200 and head.data == b"" and head.content_length == 2
    assert head.headers["Content-Disposition"] == f"inline; filename=fit-{made['id'][:8]}.json"
    beside = files["fit.json"]["href"].replace("fit.json", "manifest.json")
    problem(client.get(beside), 404, "not-found")


@pytest.mark.usefixtures("queued")
def test_a_larger_one_is_queued_and_waited_for(client: FlaskClient, below: Stack) -> None:
    taken = post(client)
    assert taken.status_code == 202 and taken.headers["Retry-After"]
    schema("Fit").validate(taken.json)
    assert (taken.json["status"], taken.json["answer"], taken.json["files"]) == ("accepted", None, [])
    threading.Timer(0.3, works, (below, taken.json["id"])).start()
    ended = client.get(taken.headers["Location"], headers={"Prefer": "wait=20"})
    assert ended.status_code == 200 and ended.json["status"] == "successful" and ended.json["answer"] == ANSWER
    assert ended.headers["Preference-Applied"] == "wait=20"
    assert post(client).status_code == 200


@pytest.mark.usefixtures("queued")
def test_under_way_it_is_dismissed_and_ended_it_is_removed(client: FlaskClient, below: Stack) -> None:
    path = post(client).headers["Location"]
    for _ in range(2):
        dismissed = client.delete(path)
        assert dismissed.status_code == 200 and dismissed.json["status"] == "dismissed"
    other = post(client, {**ASKED, "goal": "least_mass"})
    works(below, other.json["id"])
    file = client.get(other.headers["Location"]).json["files"][0]["href"]
    assert client.delete(other.headers["Location"]).status_code == 204
    problem(client.get(other.headers["Location"]), 404, "not-found")
    problem(client.delete(other.headers["Location"]), 404, "not-found")
    problem(client.get(file), 404, "not-found")


@pytest.mark.usefixtures("small")
def test_a_search_that_breaks_is_a_fit_that_failed(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(normal: dict[str, Any]) -> Done:
        raise ZeroDivisionError("a secret of the inside")

    monkeypatch.setattr(routes, "found", breaks)
    failed = post(client)
    assert failed.status_code == 201 and failed.json["status"] == "failed"
    schema("Fit").validate(failed.json)
    assert failed.json["problem"]["type"] == "urn:pourwright:problem:internal" and b"secret" not in failed.data
    monkeypatch.setattr(routes, "found", found)
    assert post(client).json["status"] == "successful"


@pytest.mark.usefixtures("queued")
def test_a_key_has_its_first_answer_again_to_the_byte(client: FlaskClient, below: Stack) -> None:
    first = post(client, Idempotency_Key='"order-7"')
    works(below, first.json["id"])
    assert client.delete(first.headers["Location"]).status_code == 204
    again = post(client, Idempotency_Key='"order-7"')
    assert (again.status_code, again.data) == (202, first.data)
    kept = ("Location", "Retry-After", "Content-Type", "Vary", "Cache-Control")
    assert {name: again.headers[name] for name in kept} == {name: first.headers[name] for name in kept}
    problem(client.get(first.headers["Location"]), 404, "not-found")  # the repeated call has not brought it back
    problem(post(client, {**ASKED, "goal": "least_mass"}, Idempotency_Key='"order-7"'), 422, "idempotency-key-reused")
    # A refusal is not kept
    problem(post(client, {**ASKED, "goal": "anything"}, Idempotency_Key='"order-8"'), 422, "invalid-request")
    assert post(client, {**ASKED, "goal": "least_mass"}, Idempotency_Key='"order-8"').status_code == 202


@pytest.mark.usefixtures("small")
def test_a_long_answer_is_repeated_without_being_kept_twice(client: FlaskClient, below: Stack) -> None:
    asked = {**ASKED, "label": "A\u0308lderbank limber"}
    first = post(client, asked, Idempotency_Key='"order-9"')
    assert first.status_code == 201
    again = post(client, asked, Idempotency_Key='"order-9"')
    assert (again.status_code, again.data, again.headers["Location"]) == (201, first.data, first.headers["Location"])
    (kept,) = below.connection.keys("pourwright:replay:local:fits:*")
    assert len(below.connection.get(kept)) < 600  # type: ignore[arg-type]
    # Removed since, it is found again
    assert client.delete(first.headers["Location"]).status_code == 204
    anew = post(client, asked, Idempotency_Key='"order-9"')
    assert anew.status_code == 201 and anew.json["answer"] == first.json["answer"]
    assert client.get(first.headers["Location"]).status_code == 200


@pytest.mark.usefixtures("small")
def test_a_key_whose_first_call_is_being_answered_is_409(
    client: FlaskClient, below: Stack, real: Backing, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, go_on, answers = threading.Event(), threading.Event(), list[Any]()

    def slow(normal: dict[str, Any]) -> Done:
        begun.set()
        assert go_on.wait(20)
        return found(normal)

    monkeypatch.setattr(routes, "found", slow)
    other = create_app(below.settings, real).test_client()
    thread = threading.Thread(target=lambda: answers.append(post(other, Idempotency_Key='"once"')))
    thread.start()
    assert begun.wait(20)
    problem(post(client, Idempotency_Key='"once"'), 409, "unanswered")
    go_on.set()
    thread.join()
    assert answers[0].status_code == 201 and post(client, Idempotency_Key='"once"').data == answers[0].data


@pytest.mark.usefixtures("small")
def test_where_many_estimates_wait_a_small_fit_is_queued(client: FlaskClient, real: Backing, below: Stack) -> None:
    hold, held = threading.Event(), below.settings.estimate_waiting + 1
    threads = [threading.Thread(target=real.estimator.in_turn, args=(hold.wait,)) for _ in range(held)]
    for thread in threads:
        thread.start()
    try:
        assert post(client).status_code == 202
    finally:
        hold.set()
        for thread in threads:
            thread.join()


@pytest.mark.usefixtures("small")
def test_one_that_loses_its_place_in_the_line_to_another_is_queued(
    client: FlaskClient, real: Backing, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not real.estimator.full

    def too_late(self: Estimator, work: object) -> None:
        raise Busy("Too many estimates are waiting; ask again in a moment.", retry_after_s=1)

    monkeypatch.setattr(Estimator, "in_turn", too_late)
    assert post(client).status_code == 202


@pytest.mark.usefixtures("queued")
def test_more_than_may_wait_are_refused(client: FlaskClient) -> None:
    for count in (12, 13):
        assert post(client, {**ASKED, "free": {"bead_count": {"minimum": count, "maximum": 20}}}).status_code == 202
    refused = post(client, {**ASKED, "goal": "least_mass"})
    problem(refused, 503, "busy")
    assert refused.headers["Retry-After"] and "fits are waiting" in refused.json["detail"]


@pytest.mark.usefixtures("queued")
@pytest.mark.parametrize("name", BODY["examples"])
def test_the_examples_of_the_document_are_taken(client: FlaskClient, name: str) -> None:
    example = BODY["examples"][name]["value"]
    schema("FitRequest").validate(example)
    assert post(client, example).status_code == 202


def test_every_fault_is_told_by_its_place(client: FlaskClient) -> None:
    refused = post(
        client,
        {
            "style": "beaded_worm",
            "params": {"length": "far"},
            "free": {"bead_count": {"minimum": 12.5}, "wings": {}},
            "require": {"mass_g": {}},
            "goal": "anything",
        },
    )
    problem(refused, 422, "invalid-request")
    pointers = {fault["pointer"] for fault in refused.json["errors"]}
    assert pointers == {"/params/length", "/free/bead_count/minimum", "/free/wings", "/require/mass_g", "/goal"}
    assert all(fault["allowed"] is not None for fault in refused.json["errors"])
    problem(client.post("/v1/fits", data=b"{", content_type="application/json"), 400, "malformed-request")
    problem(client.post("/v1/fits", data=b"{}", content_type="text/plain"), 415, "unsupported-media-type")
    problem(post(client, {**ASKED, "plastic": {"name": "ours"}}), 422, "invalid-request")


@pytest.mark.usefixtures("small")
def test_an_own_plastic_stands_in_the_fit_with_its_figures(client: FlaskClient) -> None:
    strength = {"low": 1.3, "typical": 1.6, "high": 1.9, "source": "measured, n = 6"}
    kept = client.put("/v1/plastics/ours", json={"grade": "soft", "properties": {"strength": strength}})
    assert kept.status_code == 201
    made = post(client, {**ASKED, "plastic": {"name": "ours"}})
    assert made.status_code == 201
    assert made.json["request"]["plastic"]["properties"]["strength"]["typical"] == 1.6


@pytest.mark.usefixtures("small")
def test_another_callers_fit_is_not_there_and_a_key_needs_the_scope(client: FlaskClient, below: Stack) -> None:
    alder, birch = (key(below.settings, caller=name) for name in ("alder", "birch"))
    path = client.post("/v1/fits", json=ASKED, headers=alder).headers["Location"]
    file = client.get(path, headers=alder).json["files"][0]["href"]
    with client.get(file, headers=alder) as sent:
        assert sent.headers["Cache-Control"].startswith("private")
    for method, address in (("GET", path), ("DELETE", path), ("GET", file)):
        problem(client.open(address, method=method, headers=birch), 404, "not-found")
    only_reads = key(below.settings, Scope.READ)
    assert client.get(path, headers=only_reads).status_code == 200
    problem(client.post("/v1/fits", json=ASKED, headers=only_reads), 403, "scope-missing")
    problem(client.delete(path, headers=only_reads), 403, "scope-missing")
    problem(client.get(path), 401, "key-missing")


@pytest.mark.usefixtures("small")
def test_baits_and_fits_are_not_found_among_each_other(client: FlaskClient) -> None:
    fit = post(client).json["id"]
    bait = client.post("/v1/baits", json={"style": "grub"}).json["id"]
    problem(client.get(f"/v1/baits/{fit}"), 404, "not-found")
    problem(client.get(f"/v1/baits/{fit}/files/fit.json"), 404, "not-found")
    problem(client.delete(f"/v1/baits/{fit}"), 404, "not-found")
    problem(client.get(f"/v1/fits/{bait}"), 404, "not-found")
    problem(client.post("/v1/links", json={"bait": fit, "file": "fit.json"}), 404, "not-found")
