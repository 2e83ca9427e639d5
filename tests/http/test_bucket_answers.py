"""The service over a bucket: a real server, real workers, files and archives as over a folder; and when it is away."""

from __future__ import annotations

import hashlib
import io
import json
import time
import zipfile
from collections.abc import Iterator
from typing import Any

import pytest

from tests.bucket_server import BucketServer
from tests.http.running import Service, service
from tests.requires import requires
from tests.stack import eventually
from worker.records.bucket import Bucket

pytestmark = requires("bucket")


def worm(beads: int, **more: Any) -> dict[str, Any]:
    return {"style": "beaded_worm", "params": {"length": 80, "bead_count": beads}, "outputs": ["stl"], **more}


WORM = worm(6)


@pytest.fixture(scope="module")
def server() -> Iterator[BucketServer]:
    made = BucketServer.start()
    yield made
    made.go_on()
    made.stop()


@pytest.fixture(scope="module")
def bucket(server: BucketServer) -> str:
    return server.new_bucket()


@pytest.fixture(scope="module")
def running(server: BucketServer, bucket: str) -> Iterator[Service]:
    with service(workers=True, more=server.environ(bucket)) as made:
        yield made


@pytest.fixture(scope="module")
def built(running: Service) -> dict[str, Any]:
    answer = running.call("POST", "/v1/baits", WORM, Prefer="wait=25")
    assert answer.status in (200, 201, 202), answer.data
    path = f"/v1/baits/{answer.json['id']}"
    eventually(lambda: running.call("GET", path).json["status"] == "successful", 60)
    found: dict[str, Any] = running.call("GET", path).json
    return found


def stl(built: dict[str, Any]) -> tuple[str, dict[str, Any]]:
    file = next(one for one in built["files"] if one["name"].endswith(".stl"))
    return f"/v1/baits/{built['id']}/files/{file['name']}", file


def test_a_file_comes_whole_from_the_bucket(running: Service, built: dict[str, Any]) -> None:
    path, file = stl(built)
    whole = running.call("GET", path)
    assert whole.status == 200 and whole.headers["Content-Length"] == str(file["bytes"]) == str(len(whole.data))
    assert hashlib.sha256(whole.data).hexdigest() == file["sha256"]
    assert whole.headers["ETag"] == f'"{file["sha256"]}"' and whole.headers["Accept-Ranges"] == "bytes"
    assert "Last-Modified" not in whole.headers
    head = running.call("HEAD", path)
    assert head.status == 200 and head.headers["Content-Length"] == str(file["bytes"]) and head.data == b""


@pytest.mark.parametrize(
    ("field", "low", "high"),  # RFC 9110, 14.1.2: first and last, to the end, the last so many, past the end
    [("0-83", 0, 84), ("84-", 84, None), ("-50", -50, None), ("84-99999999", 84, None)],
)
def test_a_part_comes_from_the_bucket(
    running: Service, built: dict[str, Any], field: str, low: int, high: int | None
) -> None:
    path, file = stl(built)
    whole = running.call("GET", path).data
    part = running.call("GET", path, Range=f"bytes={field}", If_Range=f'"{file["sha256"]}"')
    assert part.status == 206 and part.data == whole[low:high]
    first = low % file["bytes"]
    assert part.headers["Content-Range"] == f"bytes {first}-{first + len(part.data) - 1}/{file['bytes']}"
    other = running.call("GET", path, Range=f"bytes={field}", If_Range='"another"')
    assert other.status == 200 and other.data == whole


def test_conditions_are_answered_as_over_a_folder(running: Service, built: dict[str, Any]) -> None:
    path, file = stl(built)
    assert running.call("GET", path, If_None_Match=f'"{file["sha256"]}"').status == 304
    assert running.call("GET", path, If_Match='"another"').status == 412
    assert running.call("GET", path, Range=f"bytes={file['bytes']}-").status == 416


def test_an_archive_of_a_batch_is_read_from_the_bucket(running: Service, built: dict[str, Any]) -> None:
    taken = running.call("POST", "/v1/batches", [worm(6, label="one"), worm(7, label="two")])
    assert taken.status == 202, taken.data
    path = taken.headers["Location"]
    eventually(lambda: running.call("GET", path).json["finished"], 60)
    whole = running.call("GET", f"{path}/archive")
    assert whole.status == 200 and int(whole.headers["Content-Length"]) == len(whole.data)
    with zipfile.ZipFile(io.BytesIO(whole.data)) as archive:
        assert archive.testzip() is None  # the sums told before the first byte are those of the bytes
        told = json.loads(archive.read("batch.json"))
        assert [one["status"] for one in told["items"]] == ["successful"] * 2
        assert len(archive.namelist()) >= 5
    part = running.call("GET", f"{path}/archive", Range=f"bytes={len(whole.data) // 2}-")
    assert part.status == 206 and part.data == whole.data[len(whole.data) // 2 :]


def test_a_file_that_has_been_cleared_away_is_gone(
    running: Service, server: BucketServer, bucket: str, built: dict[str, Any]
) -> None:
    anew = running.call("POST", "/v1/baits", worm(8), Prefer="wait=25").json
    path = f"/v1/baits/{anew['id']}"
    eventually(lambda: running.call("GET", path).json["status"] == "successful", 60)
    lies: Bucket = server.open(bucket)
    keys = [one.key for one in lies.below("artifacts") if anew["id"] in one.key and one.key.endswith(".stl")]
    assert len(keys) == 1
    lies.delete(keys)
    name = keys[0].rpartition("/")[2]
    assert running.call("GET", f"{path}/files/{name}").status == 410
    assert running.call("DELETE", path).status == 204
    assert running.call("GET", path).status == 404
    assert not any(anew["id"] in one.key for one in lies.below("artifacts"))


def test_while_the_bucket_stalls_all_that_needs_it_is_refused_in_time(
    running: Service, server: BucketServer, built: dict[str, Any]
) -> None:
    path, file = stl(built)
    server.pause()
    try:
        for call in (
            lambda: running.call("GET", path),
            lambda: running.call("GET", f"/v1/baits/{built['id']}"),
            lambda: running.call("POST", "/v1/baits", worm(9)),
            lambda: running.call("GET", "/readyz"),
        ):
            begun = time.monotonic()
            answer = call()
            assert answer.status == 503 and int(answer.headers["Retry-After"]) > 0, answer.data
            assert time.monotonic() - begun < 8
        assert "bucket" in answer.json["detail"]
        assert running.call("GET", "/healthz").status == 200
        assert running.call("POST", "/v1/estimates", WORM).status == 200
    finally:
        server.go_on()
    assert running.call("GET", path, Range="bytes=0-9").status == 206
    assert hashlib.sha256(running.call("GET", path).data).hexdigest() == file["sha256"]
