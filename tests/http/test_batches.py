"""Batches over HTTP, on a real store; baits end when a test says so."""

from __future__ import annotations

import json
import threading
import time
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.backing import Backing
from service.batch_reading import MOST_BYTES, MOST_ITEMS, read_items
from service.caller import identify_caller
from tests.http.batch_items import GRUB, ended, worm
from tests.http.keys import key
from tests.http.test_openapi import schema
from tests.http.test_problems import problem
from tests.stack import Stack
from worker.errors import InvalidRequest
from worker.records.batch_documents import BatchDocuments
from worker.records.batches import Batches


def test_a_batch_from_the_request_to_its_end(store_client: FlaskClient, below: Stack) -> None:
    # Given a batch with equal items, faulty ones, and one that cannot be
    items = [
        worm(16, label="a"),
        {**worm(16), "label": "b"},
        {"style": "beaded_worm", "params": {"length": "far", "bead_count": 1.5}, "label": "c"},
        worm(17),
        {"style": "jointed_worm", "params": {"core_diameter": 12, "bead_diameter": 6}},
        7,
    ]
    taken = store_client.post("/v1/batches", json=items)
    assert taken.status_code == 202 and taken.headers["Retry-After"]
    schema("Batch").validate(taken.json)
    body = taken.json
    assert taken.headers["Location"] == body["links"]["self"] == f"/v1/batches/{body['id']}"
    assert [item["index"] for item in body["items"]] == list(range(6))
    assert [item.get("label") for item in body["items"]] == ["a", "b", "c", None, None, None]
    assert body["counts"] == {
        "accepted": 3, "running": 0, "successful": 0, "failed": 0, "dismissed": 0, "invalid": 3,
    }  # fmt: skip
    first, second, third, fourth, fifth, last = body["items"]
    assert first["id"] == second["id"] != fourth["id"] and first["href"] == f"/v1/baits/{first['id']}"
    # Then what is wrong is told with pointers into the batch
    assert [fault["pointer"] for fault in third["problem"]["errors"]] == ["/2/params/bead_count", "/2/params/length"]
    assert third["problem"]["status"] == 422 and "href" not in third
    assert fifth["problem"]["type"] == "urn:pourwright:problem:infeasible"
    assert all(fault["pointer"].startswith("/4/") for fault in fifth["problem"]["errors"])
    assert [fault["pointer"] for fault in last["problem"]["errors"]] == ["/5"]
    # And it can be looked at until it has ended, and then kept
    path = body["links"]["self"]
    assert store_client.get(path).json == body
    problem(store_client.get(body["links"]["archive"]), 409, "not-ended")
    ended(below, first["id"], {"bait.stl": b"solid" * 9})
    running = store_client.get(path)
    assert running.json["status"] == "running" and running.headers["Cache-Control"] == "no-store"
    ended(below, fourth["id"])
    done = store_client.get(path)
    schema("Batch").validate(done.json)
    assert done.json["status"] == "successful" and done.json["finished"]
    assert done.json["counts"]["successful"] == 2 and done.json["items"][3]["problem"]["detail"]
    assert store_client.get(path, headers={"If-None-Match": done.headers["ETag"]}).status_code == 304
    # And removed: its baits stay
    assert store_client.delete(path).status_code == 204
    problem(store_client.get(path), 404, "not-found")
    problem(store_client.delete(path), 404, "not-found")
    assert store_client.get(first["href"]).json["status"] == "successful"


def test_a_request_a_line_and_a_bad_line_is_an_item(store_client: FlaskClient) -> None:
    lines = b'{"style": "grub"}\r\n\n{"style": "grub", "style": "tube"}\n{"style": \n{"style": "tube"}\n'
    for media_type in ("application/x-ndjson", "application/jsonl; charset=utf-8"):
        taken = store_client.post("/v1/batches", data=lines, content_type=media_type)
        assert taken.status_code == 202
        assert [item["status"] for item in taken.json["items"]] == ["accepted", "invalid", "invalid", "accepted"]
        kinds = [item["problem"]["type"].rsplit(":", 1)[1] for item in taken.json["items"][1:3]]
        assert kinds == ["malformed-request"] * 2
        assert taken.json["items"][1]["problem"]["errors"][0]["pointer"] == "/1"


def test_where_nothing_can_be_built_nothing_is_kept(store_client: FlaskClient, below: Stack) -> None:
    refused = store_client.post("/v1/batches", json=[{"style": "anvil"}, worm(16, tolerance_mm=-1)])
    found = problem(refused, 422, "invalid-request")
    assert {fault["pointer"] for fault in found["errors"]} == {"/0/style", "/1/tolerance_mm"}
    assert not below.connection.keys("pourwright:b*")


def test_what_is_no_batch_is_refused(store_client: FlaskClient) -> None:
    def post(data: bytes, content_type: str = "application/json") -> Any:
        return store_client.post("/v1/batches", data=data, content_type=content_type)

    problem(post(b"[{"), 400, "malformed-request")
    problem(post(b'[{"a": NaN}]'), 400, "malformed-request")
    for body in (b"{}", b"[]", json.dumps([GRUB] * (MOST_ITEMS + 1)).encode()):
        problem(post(body), 422, "invalid-request")
    problem(post(b"\n\n", "application/x-ndjson"), 422, "invalid-request")
    refused = post(b"[]", "text/plain")
    problem(refused, 415, "unsupported-media-type")
    assert refused.headers["Accept-Post"] == "application/json, application/x-ndjson, application/jsonl"
    problem(post(b"[" + b" " * MOST_BYTES), 413, "request-too-large")
    assert post(json.dumps([GRUB]).encode().ljust(MOST_BYTES)).status_code == 202


def test_an_ended_batch_is_read_once_and_then_looked_at(
    store_client: FlaskClient, below: Stack, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = store_client.post("/v1/batches", json=[worm(26)]).headers["Location"]
    ended(below, store_client.get(path).json["items"][0]["id"], {"bait.stl": b"solid"})
    first = store_client.get(path)  # ended, but not written down as ended
    assert first.json["status"] == "successful"
    Batches.open(below.settings).seal("local", first.json["id"])
    assert store_client.get(path).headers["ETag"] == first.headers["ETag"]
    reads: list[str] = []
    real = BatchDocuments.read
    monkeypatch.setattr(BatchDocuments, "read", lambda self, *told: reads.append(told[1]) or real(self, *told))
    again, known = store_client.get(path), store_client.get(path, headers={"If-None-Match": first.headers["ETag"]})
    assert again.data == first.data and known.status_code == 304 and reads == []
    # Once it is removed nothing tells of it any more
    assert store_client.delete(path).status_code == 204
    problem(store_client.get(path), 404, "not-found")
    problem(store_client.get(path, headers=key(below.settings, caller="birch")), 404, "not-found")


def test_too_many_items_are_refused_before_they_are_read() -> None:
    cheap = b"[" + b"1," * 4_000_000  # nor is it JSON, which nobody has to find out
    lines = b"1\n" * 4_000_000
    for raw, media_type in ((cheap, "application/json"), (lines, "application/x-ndjson")):
        began = time.process_time()
        with pytest.raises(InvalidRequest, match="1 to 1000 items; this one has more") as raised:
            read_items(raw, media_type)
        assert time.process_time() - began < 0.1, "to read all of it takes a second"
        assert raised.value.faults[0].code == "wrong-number"


def test_plastics_are_asked_for_once_a_batch(client: FlaskClient, app: Flask, backing: Backing) -> None:
    strength = {"low": 3.0, "typical": 3.2, "high": 3.4, "source": "a guess"}
    ours = {"grade": "firm", "properties": {"strength": strength}}
    assert client.put("/v1/plastics/ours", json=ours).status_code == 201
    named = [worm(beads, plastic={"name": name}) for beads, name in ((16, "ours"), (17, "theirs"), (18, "ours"))]
    plastics, asked = backing.plastics, []
    with pytest.MonkeyPatch.context() as patched, app.test_request_context("/v1/batches", method="POST"):
        identify_caller()
        for name in ("get", "all"):
            real = getattr(plastics, name)
            patched.setattr(plastics, name, lambda *told, real=real: asked.append(told) or real(*told))
        items = read_items(json.dumps(named).encode(), "application/json")
        assert len(asked) == 1
        read_items(json.dumps([GRUB]).encode(), "application/json")
        assert len(asked) == 1, "nobody names one"
    assert [item.request is not None for item in items] == [True, False, True]
    assert items[0].request is not None and items[0].request.normal["plastic"]["grade"] == "firm"
    assert [fault["pointer"] for fault in (items[1].problem or {})["errors"]] == ["/1/plastic/name"]


def test_the_first_answer_is_replayed_for_a_key(store_client: FlaskClient, below: Stack) -> None:
    def post(items: list[Any]) -> Any:
        return store_client.post("/v1/batches", json=items, headers={"Idempotency-Key": '"order-7"'})

    # A refusal keeps no key
    problem(post([{"style": "anvil"}]), 422, "invalid-request")
    first = post([GRUB, worm(18)])
    assert first.status_code == 202
    problem(post([GRUB]), 422, "idempotency-key-reused")
    # Whatever has become of it meanwhile, the first answer is the answer
    for item in first.json["items"]:
        ended(below, item["id"], {"bait.stl": item["id"].encode()})
    assert post([GRUB, worm(18)]).data == first.data
    assert store_client.get(first.headers["Location"]).json["status"] == "successful"
    assert store_client.delete(first.headers["Location"]).status_code == 204
    again = post([GRUB, worm(18)])
    assert again.data == first.data and again.headers["Location"] == first.headers["Location"]
    # Another caller's key is another key, and without one each is a batch of its own
    assert store_client.post("/v1/batches", json=[GRUB]).json["id"] != first.json["id"]
    ttl = [below.connection.ttl(name) for name in below.connection.keys("pourwright:replay:*")]
    assert len(ttl) == 1 and 86_000 < ttl[0] <= 86_400


def test_a_key_is_409_while_its_first_request_is_unanswered(store_client: FlaskClient, real: Backing) -> None:
    waiting, go_on = threading.Event(), threading.Event()
    really = real.batches.submit

    def slowly(*arguments: Any) -> Any:
        waiting.set()
        assert go_on.wait(20)
        return really(*arguments)

    real.batches.submit = slowly  # type: ignore[method-assign]
    answers: list[Any] = []

    def post() -> None:
        client = store_client.application.test_client()
        answers.append(client.post("/v1/batches", json=[GRUB], headers={"Idempotency-Key": '"k"'}))

    thread = threading.Thread(target=post)
    thread.start()
    assert waiting.wait(20)
    refused = store_client.post("/v1/batches", json=[GRUB], headers={"Idempotency-Key": '"k"'})
    problem(refused, 409, "unanswered")
    go_on.set()
    thread.join(20)
    assert answers[0].status_code == 202


def test_dismissing_leaves_what_others_want(store_client: FlaskClient) -> None:
    single = store_client.post("/v1/baits", json=worm(20)).json
    path = store_client.post("/v1/batches", json=[worm(20), worm(21)]).headers["Location"]
    dismissed = store_client.delete(path)
    assert dismissed.status_code == 200 and dismissed.json["status"] == "dismissed"
    assert store_client.delete(path).json == dismissed.json == store_client.get(path).json
    assert store_client.get(single["links"]["self"]).json["status"] == "accepted"
    other = dismissed.json["items"][1]["href"]
    assert store_client.get(other).json["status"] == "dismissed"


def test_a_full_queue_refuses_at_once_before_it_reads(store_client: FlaskClient, below: Stack) -> None:
    alder, birch, cedar = (key(below.settings, caller=name) for name in ("alder", "birch", "cedar"))
    forty = [worm(beads) for beads in range(6, 46)]
    full = store_client.post("/v1/batches", json=forty, headers=alder)  # 25 a caller
    problem(full, 503, "busy")
    assert full.headers["Retry-After"] == "30"
    assert store_client.post("/v1/batches", json=forty[:25], headers=alder).status_code == 202
    assert store_client.post("/v1/batches", json=forty[:15], headers=birch).status_code == 202
    for caller in (alder, birch, cedar):
        began = time.perf_counter()
        problem(store_client.post("/v1/batches", json=forty[30:], headers=caller), 503, "busy")
        assert time.perf_counter() - began < 0.5
    # A single bait has its own bound
    assert store_client.post("/v1/baits", json=worm(50), headers=alder).status_code == 202


def test_a_batch_is_its_callers_alone(store_client: FlaskClient, below: Stack) -> None:
    alder, birch = key(below.settings, caller="alder"), key(below.settings, caller="birch")
    reader = key(below.settings, "read", caller="alder")
    taken = store_client.post("/v1/batches", json=[GRUB], headers=alder)
    path = taken.headers["Location"]
    problem(store_client.post("/v1/batches", json=[GRUB], headers=reader), 403, "scope-missing")
    assert store_client.get(path, headers=reader).status_code == 200
    problem(store_client.get(path), 401, "key-missing")
    for method, address in (("GET", path), ("DELETE", path), ("GET", f"{path}/archive")):
        problem(store_client.open(address, method=method, headers=birch), 404, "not-found")


def test_without_a_store_it_is_503(client: FlaskClient) -> None:
    for call in (client.post("/v1/batches", json=[GRUB]),):
        problem(call, 503, "store-unavailable")


def test_its_baits_are_built_under_the_trace_of_the_request(store_client: FlaskClient, below: Stack) -> None:
    trace = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"  # the example of the recommendation
    taken = store_client.post("/v1/batches", json=[worm(40)], headers={"traceparent": trace}).json
    record = below.connection.hgetall(f"pourwright:bait:local:{taken['items'][0]['id']}")
    assert record[b"trace"].decode()[:36] == trace[:36]
