"""Batches over HTTP, on a real store; baits end when a test says so."""

from __future__ import annotations

import hashlib
import io
import json
import os
import threading
import time
import zipfile
import zlib
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service import batch_archive
from service.app import create_app
from service.backing import Backing
from service.batch_archive import Sending
from service.batch_reading import MOST_BYTES, MOST_ITEMS, read_items
from service.caller import identify_caller
from service.stores import open_backing
from tests.http.keys import key
from tests.http.test_openapi import schema
from tests.http.test_problems import problem
from tests.stack import Stack, stack
from worker.errors import GeometryFailed, InvalidRequest
from worker.records.attempts import Attempts
from worker.records.batch_documents import BatchDocuments
from worker.records.batches import Batches
from worker.records.names import BaitName

GRUB = {"style": "grub", "label": "one"}


@pytest.fixture(scope="module")
def below() -> Iterator[Stack]:
    with stack(batch_queue_limit=40, batch_queue_limit_per_caller=25) as made:
        yield made


@pytest.fixture
def real(below: Stack) -> Backing:
    with below.connection as connection:
        connection.flushall()
    (below.settings.state_dir / "keys.json").unlink(missing_ok=True)
    return open_backing(below.settings)


@pytest.fixture
def store_client(below: Stack, real: Backing) -> FlaskClient:
    return create_app(below.settings, real).test_client()


def worm(beads: int, **more: Any) -> dict[str, Any]:
    return {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": beads}, **more}


def ended(below: Stack, bait_id: str, files: dict[str, bytes] | None = None, caller: str = "local") -> None:
    """What a worker does: well, or badly without files; nothing where it has ended."""
    attempt = BaitName(caller, bait_id).attempt(1)
    attempts = Attempts(below.connection)
    with below.connection.pipeline(transaction=True) as transaction:
        attempts.hand(attempt, transaction)
        transaction.execute()
    if attempts.start(attempt) is None:
        return
    if files is None:
        attempts.fail(attempt, GeometryFailed("The solid is not closed."))
        return
    told = [
        {"name": name, "output": None, "media_type": "model/stl", "bytes": len(content)}
        | {"sha256": hashlib.sha256(content).hexdigest(), "crc32": zlib.crc32(content)}
        for name, content in files.items()
    ]
    manifest = {name: {} for name in ("request", "metrics", "timings")} | {"checks": [], "cautions": []}
    manifest |= {"id": bait_id, "attempt": 1, "created": "2026-03-01T08:00:00Z", "finished": "2026-03-01T08:00:01Z"}
    below.baits._artifacts.put_all(attempt, files, manifest | {"files": told})
    attempts.succeed(attempt)


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


# The archive


@pytest.fixture
def archive(store_client: FlaskClient, below: Stack) -> str:
    """The archive of three items, of which two are one bait."""
    taken = store_client.post("/v1/batches", json=[worm(30, label="Köder 1/2"), worm(31), worm(30), worm(32)]).json
    ids = [item["id"] for item in taken["items"]]
    ended(below, ids[0], {"bait.stl": bytes(range(256)) * 3000, "metrics.json": b'{"a": 1}'})
    ended(below, ids[1], {"bait.stl": b"", "metrics.json": b'{"b": 2}'})
    ended(below, ids[3])
    return str(taken["links"]["archive"])


def fetch(client: FlaskClient, path: str, method: str = "GET", **headers: str) -> Any:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return client.open(path, method=method, buffered=True, headers=named)


def test_the_archive_has_a_folder_a_bait_and_says_whose(store_client: FlaskClient, archive: str) -> None:
    whole = fetch(store_client, archive)
    assert whole.status_code == 200 and whole.mimetype == "application/zip"
    assert int(whole.headers["Content-Length"]) == len(whole.data)
    with zipfile.ZipFile(io.BytesIO(whole.data)) as opened:
        assert opened.testzip() is None
        told = json.loads(opened.read("batch.json"))
        folders = [item["folder"] for item in told["items"]]
        assert folders[0] == folders[2] == "0000-K-der-1-2" and folders[3] is None
        assert opened.read(f"{folders[0]}/bait.stl") == bytes(range(256)) * 3000
        assert opened.read(f"{folders[1]}/metrics.json") == b'{"b": 2}'
        assert len(opened.namelist()) == 5
        assert all(one.compress_type == zipfile.ZIP_STORED for one in opened.infolist())
        assert {one.date_time for one in opened.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert fetch(store_client, archive).data == whole.data


def test_any_range_of_it_can_be_had(store_client: FlaskClient, archive: str) -> None:
    whole = fetch(store_client, archive)
    tag = whole.headers["ETag"]
    size = len(whole.data)
    for first, last in ((0, 0), (0, 99), (1, size - 2), (size - 22, size - 1), (700_000, 768_999), (5, size + 50)):
        part = fetch(store_client, archive, Range=f"bytes={first}-{last}", If_Range=tag)
        assert part.status_code == 206 and part.data == whole.data[first : last + 1], (first, last)
        assert part.headers["Content-Range"] == f"bytes {first}-{min(last, size - 1)}/{size}"
        assert part.headers["Content-Length"] == str(len(part.data)) and part.headers["ETag"] == tag
    pieces = [fetch(store_client, archive, Range=f"bytes={at}-{at + 65_535}").data for at in range(0, size, 65_536)]
    assert b"".join(pieces) == whole.data
    head = fetch(store_client, archive, "HEAD")
    assert head.data == b"" and head.headers["Content-Length"] == str(size)
    assert fetch(store_client, archive, If_None_Match=tag).status_code == 304
    problem(fetch(store_client, archive, Range=f"bytes={size}-"), 416, "range-not-satisfiable")
    assert fetch(store_client, archive, Range="bytes=0-1", If_Range='"other"').status_code == 200


def test_a_bait_that_was_removed_goes_from_it_and_its_tag_changes(store_client: FlaskClient, archive: str) -> None:
    before = fetch(store_client, archive)
    batch = store_client.get(archive.removesuffix("/archive")).json
    assert store_client.delete(batch["items"][0]["href"]).status_code == 204
    after = fetch(store_client, archive)
    assert after.headers["ETag"] != before.headers["ETag"]
    with zipfile.ZipFile(io.BytesIO(after.data)) as opened:
        assert len(opened.namelist()) == 3


def test_whoever_fetches_it_uses_its_baits_however_long_it_takes(
    store_client: FlaskClient, below: Stack, archive: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    folders = [path.parent for path in below.settings.state_dir.glob("artifacts/local/*/*/*/manifest.json")]

    def age() -> None:
        for folder in folders:
            os.utime(folder, (0, 0))

    assert len(folders) >= 2
    fetch(store_client, archive)
    batch = store_client.get(archive.removesuffix("/archive")).json
    folders = [one for one in folders if one.name in {item["id"] for item in batch["items"]}]
    # The service has the archive in memory now
    age()
    fetch(store_client, archive, Range="bytes=0-0")
    assert len(folders) == 2 and all(time.time() - one.stat().st_mtime < 60 for one in folders)
    # And a client that takes hours uses them all the while
    monkeypatch.setattr(batch_archive, "NOTE_USE_EVERY_S", 0.0)
    slow = store_client.get(archive)
    chunks = slow.iter_encoded()
    next(chunks)
    age()
    next(chunks)
    assert all(time.time() - one.stat().st_mtime < 60 for one in folders)
    slow.close()


def test_its_baits_are_built_under_the_trace_of_the_request(store_client: FlaskClient, below: Stack) -> None:
    trace = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"  # the example of the recommendation
    taken = store_client.post("/v1/batches", json=[worm(40)], headers={"traceparent": trace}).json
    record = below.connection.hgetall(f"pourwright:bait:local:{taken['items'][0]['id']}")
    assert record[b"trace"].decode()[:36] == trace[:36]


def test_four_are_sent_at_once_and_a_fifth_is_told_to_come_back(store_client: FlaskClient, archive: str) -> None:
    app = store_client.application
    open_ones = [app.test_client().get(archive) for _ in range(4)]
    refused = fetch(store_client, archive)
    problem(refused, 503, "busy")
    assert refused.headers["Retry-After"] == "15"
    open_ones[0].close()  # a client that goes away gives its place back
    assert fetch(store_client, archive).status_code == 200
    again = app.test_client().get(archive)
    # What carries no content needs no place: it is answered as ever while all are taken
    tag = again.headers["ETag"]
    assert fetch(store_client, archive, "HEAD").status_code == 200
    assert fetch(store_client, archive, If_None_Match=tag).status_code == 304
    problem(fetch(store_client, archive, If_Match='"other"'), 412, "precondition-failed")
    problem(fetch(store_client, archive, Range="bytes=999999999-"), 416, "range-not-satisfiable")
    problem(fetch(store_client, archive, Range="bytes=0-0"), 503, "busy")
    for one in (again, *open_ones[1:]):
        assert len(one.data) > 700_000
        one.close()
    assert fetch(store_client, archive).status_code == 200


def test_who_keeps_a_place_and_takes_next_to_nothing_is_cut_off() -> None:
    now, places = [0.0], threading.Semaphore(0)
    sending = Sending(iter([bytes(100_000)] * 9), places, lambda: now[0])
    taken = 0
    with pytest.raises(TimeoutError):
        for chunk in sending:
            taken += len(chunk)
            now[0] += 11.0
    # By hand: 100,000 n < 16,384 (11 n - 30) from n = 6.13 on
    assert taken == 700_000
    sending.close()
    sending.close()
    assert places.acquire(blocking=False) and not places.acquire(blocking=False), "given back once"
    steady = Sending(iter([bytes(262_144)] * 40), places, lambda: now[0])
    for chunk in steady:  # 24 kB a second, by a slow line
        now[0] += len(chunk) / 24_000
