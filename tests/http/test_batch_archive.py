"""A batch's archive over HTTP: whole or in parts, four at once, and what it holds stays while it is fetched."""

from __future__ import annotations

import io
import json
import os
import threading
import time
import zipfile
from typing import Any

import pytest
from flask.testing import FlaskClient

from service import batch_archive
from service.batch_archive import Sending
from tests.http.batch_items import ended, worm
from tests.http.test_problems import problem
from tests.stack import Stack


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
