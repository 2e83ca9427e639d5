"""What a bucket alone can do: a writer killed at any call, a lost answer, a server that is away."""

from __future__ import annotations

import time
from typing import Any

import pytest

from tests.bucket_server import BucketServer
from tests.records.what_is_put import BAIT, FILES, manifest
from tests.requires import requires
from worker.errors import ArtifactsUnavailable
from worker.files.stored_archive import pieces_of
from worker.records.bucket import Bucket, Haste
from worker.records.bucket_artifacts import ROOT, BucketArtifacts


@pytest.fixture
def bucket(server: BucketServer) -> Bucket:
    return server.open(server.new_bucket())


class Cut(Exception):
    """Where a process would be killed."""


def cut_off(monkeypatch: pytest.MonkeyPatch, call: str, number: int) -> None:
    """Let everything from this call of the bucket on fail, as where the process has ended."""
    left = [number]

    def failing(really: Any) -> Any:
        def called(self: Bucket, *arguments: Any) -> Any:
            left[0] -= really.__name__ == call
            if left[0] < 0:
                raise Cut
            return really(self, *arguments)

        return called

    for name in ("put", "create", "get", "look", "delete", "below"):
        monkeypatch.setattr(Bucket, name, failing(getattr(Bucket, name)))


@requires("bucket")
@pytest.mark.parametrize(("call", "number"), [("put", 1), ("put", 2), ("create", 0), ("delete", 0), ("delete", 1)])
def test_what_a_dead_writer_left_is_swept_and_what_it_finished_stays(
    bucket: Bucket, monkeypatch: pytest.MonkeyPatch, call: str, number: int
) -> None:
    artifacts = BucketArtifacts(bucket)
    with monkeypatch.context() as patched:
        cut_off(patched, call, number)
        with pytest.raises(Cut):
            artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    finished = artifacts.stamp(BAIT) is not None
    assert finished == (call == "delete")
    later = time.time() + 3700
    monkeypatch.setattr(time, "time", lambda: later)
    assert artifacts.sweep(8, is_alive=lambda job_id: job_id == BAIT.attempt(1).job_id) == 0
    artifacts.sweep(8)
    left = {one.key.rpartition("/")[2] for one in bucket.below(ROOT)}
    assert left == ({"manifest.json", *FILES} if finished else set())
    assert list(bucket.below("aside")) == []


@requires("bucket")
@pytest.mark.parametrize(("call", "number"), [("put", 0), ("delete", 0), ("delete", 1), ("delete", 2)])
def test_a_removal_that_was_cut_off_is_ended_by_the_sweep_or_never_was(
    bucket: Bucket, monkeypatch: pytest.MonkeyPatch, call: str, number: int
) -> None:
    artifacts = BucketArtifacts(bucket)
    artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    with monkeypatch.context() as patched:
        cut_off(patched, call, number)
        with pytest.raises(Cut):
            artifacts.delete(BAIT)
    there = artifacts.stamp(BAIT) is not None
    later = time.time() + 3700
    monkeypatch.setattr(time, "time", lambda: later)
    artifacts.sweep(8)
    left = {one.key.rpartition("/")[2] for one in bucket.below(ROOT)}
    assert left == ({"manifest.json", *FILES} if there else set())
    assert list(bucket.below("aside")) == []


@requires("bucket")
def test_a_lost_answer_to_the_last_step_is_no_defeat(bucket: Bucket, monkeypatch: pytest.MonkeyPatch) -> None:
    really = Bucket.create
    monkeypatch.setattr(
        Bucket, "create", lambda self, *arguments: really(self, *arguments) and really(self, *arguments)
    )
    artifacts = BucketArtifacts(bucket)
    assert artifacts.put_all(BAIT.attempt(1), FILES, manifest()) is True
    assert artifacts.put_all(BAIT.attempt(2), FILES, manifest(2)) is False


@requires("bucket")
def test_a_bucket_that_is_away_or_stalls_is_told_in_time() -> None:
    server = BucketServer.start()
    try:
        artifacts = BucketArtifacts(server.open(server.new_bucket(), Haste(0.5, 0.5, 0.5)))
        artifacts.put_all(BAIT.attempt(1), FILES, manifest())
        found = artifacts.file(BAIT, "bait.stl")
        assert found is not None
        server.pause()
        for call in (lambda: artifacts.stamp(BAIT), lambda: list(pieces_of(found, 0, 84)), artifacts.shards):
            begun = time.monotonic()
            with pytest.raises(ArtifactsUnavailable) as away:
                call()
            assert time.monotonic() - begun < 3 and away.value.retry_after_s > 0
        server.go_on()
        assert artifacts.stamp(BAIT) is not None
    finally:
        server.go_on()
        server.stop()
    with pytest.raises(ArtifactsUnavailable):
        artifacts.put_all(BAIT.attempt(2), FILES, manifest(2))


@requires("bucket")
def test_nothing_is_begun_after_the_time_is_up(server: BucketServer) -> None:
    open_ = server.open(server.new_bucket())
    late = Bucket(open_._place, open_._haste, until=time.monotonic())
    with pytest.raises(ArtifactsUnavailable, match="too slow"):
        late.look("any")
