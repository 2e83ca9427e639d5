"""A job's first look at a bucket that takes connections and answers nothing: it is over before the reaper steps in."""

from __future__ import annotations

import time
from collections.abc import Iterator
from types import SimpleNamespace

import pytest

from tests.bucket_server import BucketServer
from tests.requires import requires
from tests.stack import Stack, please
from worker.jobs import run
from worker.records.feeder import Feeder
from worker.records.names import BaitName
from worker.records.reaper import BEGIN_S
from worker.settings import load

pytestmark = requires("bucket")


@pytest.fixture
def server() -> Iterator[BucketServer]:
    made = BucketServer.start()
    yield made
    made.go_on()
    made.stop()


@pytest.mark.parametrize("away", ["stalls", "refuses"])
def test_a_job_gives_its_bait_back_before_the_reaper_does(
    records: Stack, server: BucketServer, monkeypatch: pytest.MonkeyPatch, away: str
) -> None:
    request = please("nothing")
    records.baits.submit("local", request)
    assert Feeder(records.connection, workers=1, limit_s=20).feed() == 1
    monkeypatch.setattr(run, "get_current_job", lambda: SimpleNamespace(connection=records.connection))
    settings = load(records.environ | server.environ(server.new_bucket()))
    monkeypatch.setattr(run, "load", lambda: settings)
    server.pause() if away == "stalls" else server.stop()
    begun = time.monotonic()
    run.build_bait("local", request.id, 1)
    took = time.monotonic() - begun
    record = BaitName("local", request.id).record
    assert records.connection.hmget(record, "state", "attempt", "tries") == [b"waiting", b"2", b"1"]
    # A second is left for the way there: the queue, the fork, the store.
    assert 1.0 < took < BEGIN_S - 1.0
