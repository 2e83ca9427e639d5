"""Batches and links over the whole of it: gunicorn, a real store, real workers."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator
from typing import Any

import pytest

from service.links import SECRETS_FILE
from tests.http.running import Service, service
from tests.stack import eventually


@pytest.fixture(scope="module")
def running() -> Iterator[Service]:
    with service(workers=True, log_level="debug") as made:
        yield made


def worm(beads: int, **more: Any) -> dict[str, Any]:
    return {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": beads}, "outputs": ["stl"], **more}


def test_a_batch_from_the_request_to_its_archive_and_a_link_into_it(running: Service) -> None:
    # Given a batch of which one item cannot be built and two are one bait
    items = [worm(16, label="long"), worm(17), {"style": "anvil"}, worm(16, label="again"), worm(18)]
    taken = running.call("POST", "/v1/batches", items, Idempotency_Key='"once"')
    assert taken.status == 202
    again = running.call("POST", "/v1/batches", items, Idempotency_Key='"once"')
    assert again.status == 202 and again.data == taken.data
    # When a single bait is asked for meanwhile, it is built before the batch ends or with it
    assert running.call("POST", "/v1/baits", worm(19), Prefer="wait=25").json["status"] == "successful"
    path = taken.headers["Location"]
    done = eventually(lambda: (answer := running.call("GET", path)).json["finished"] and answer, 60, 0.1)
    assert done.json["counts"] | {"successful": 4, "invalid": 1} == done.json["counts"]
    # Then the archive has every file as the baits list them
    archive = running.call("GET", f"{path}/archive")
    assert archive.status == 200 and archive.headers["Content-Length"] == str(len(archive.data))
    assert "Transfer-Encoding" not in archive.headers
    with zipfile.ZipFile(io.BytesIO(archive.data)) as opened:
        assert opened.testzip() is None
        folders = {item["bait"]: item["folder"] for item in json.loads(opened.read("batch.json"))["items"]}
        for item in done.json["items"]:
            if item["status"] == "successful":
                for file in running.call("GET", item["href"]).json["files"]:
                    stored = opened.read(f"{folders[item['id']]}/{file['name']}")
                    assert stored == running.call("GET", file["href"]).data
    # And a download that was cut off goes on where it was
    middle = len(archive.data) // 2
    rest = running.call("GET", f"{path}/archive", Range=f"bytes={middle}-", If_Range=archive.headers["ETag"])
    assert rest.status == 206 and rest.data == archive.data[middle:]
    head = running.call("HEAD", f"{path}/archive")
    assert head.status == 200 and head.headers["Content-Length"] == str(len(archive.data)) and head.data == b""
    # And a link opens one of the files; the secret and the signature are in no log
    bait = done.json["items"][0]["id"]
    link = running.call("POST", "/v1/links", {"bait": bait, "file": "bait.stl", "seconds": 60})
    assert link.status == 201
    followed = running.call("GET", link.json["href"], Host="shop.example")
    assert followed.status == 200 and followed.data == running.call("GET", f"/v1/baits/{bait}/files/bait.stl").data
    state = running.stack.settings.state_dir
    said = "\n".join(log.read_text(errors="replace") for log in state.rglob("*.log"))
    assert len(said) > 100
    for secret in ((state / SECRETS_FILE).read_text().strip(), link.json["href"].split("/")[3].split(".")[1]):
        assert secret not in said


def test_a_batch_is_dismissed_while_it_runs(running: Service) -> None:
    taken = running.call("POST", "/v1/batches", [{"style": "craw", "params": {"length": 80 + n}} for n in range(12)])
    assert taken.status == 202, taken.data
    dismissed = running.call("DELETE", taken.headers["Location"])
    assert dismissed.status == 200 and dismissed.json["status"] == "dismissed"
    assert dismissed.json["counts"]["accepted"] == dismissed.json["counts"]["running"] == 0
    assert running.call("POST", "/v1/baits", worm(20), Prefer="wait=25").json["status"] == "successful"
