"""A bucket whose answers are lost at a bad moment, and objects in it that nobody of ours wrote, on a real S3 server."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from tests.bucket_server import BucketServer
from tests.requires import requires
from worker.errors import ArtifactsUnavailable
from worker.files.stored_archive import pieces_of
from worker.records.bucket import Bucket
from worker.records.bucket_artifacts import ASIDE, HALF_S, BucketArtifacts
from worker.records.bucket_file import BucketFile
from worker.records.names import BaitName

pytestmark = requires("bucket")

BAIT = BaitName("local", "ab" * 32)
FILES = {"bait.stl": b"\0" * 84, "metrics.json": b"{}"}
TOLD = {"id": BAIT.id, "attempt": 1, "request": {}}


@pytest.fixture(scope="module")
def server() -> Iterator[BucketServer]:
    made = BucketServer.start()
    yield made
    made.stop()


@dataclass
class Place:
    """One bucket, and what is kept in it as seen by a writer and by somebody else."""

    bucket: Bucket
    artifacts: BucketArtifacts
    again: BucketArtifacts

    def keys(self) -> list[str]:
        return sorted(one.key for one in self.bucket.below("artifacts"))

    def aside(self) -> list[str]:
        return [one.key for one in self.bucket.below(ASIDE)]


@pytest.fixture
def place(server: BucketServer) -> Place:
    name = server.new_bucket()
    return Place(server.open(name), BucketArtifacts(server.open(name)), BucketArtifacts(server.open(name)))


def later(monkeypatch: pytest.MonkeyPatch, seconds: float = HALF_S + 60) -> None:
    """From here on it is later, for whoever sweeps."""
    now = time.time()
    monkeypatch.setattr("worker.records.bucket_artifacts.time.time", lambda: now + seconds)


@pytest.mark.parametrize("arrives", [True, False])
def test_a_manifest_whose_answer_is_lost_keeps_its_files_if_it_arrived(
    place: Place, monkeypatch: pytest.MonkeyPatch, arrives: bool
) -> None:
    really = Bucket.create

    def lost(self: Bucket, key: str, content: bytes) -> bool:
        if arrives:
            really(self, key, content)
        raise ArtifactsUnavailable("The answer did not come.")

    with monkeypatch.context() as patched, pytest.raises(ArtifactsUnavailable):
        patched.setattr(Bucket, "create", lost)
        place.artifacts.put_all(BAIT.attempt(1), FILES, TOLD)
    if arrives:
        for name, content in FILES.items():
            found = place.again.file(BAIT, name)
            assert isinstance(found, BucketFile)
            assert b"".join(pieces_of(found, 0, len(content))) == content
    later(monkeypatch)
    place.again.sweep(0.0)
    assert place.aside() == []
    assert len(place.keys()) == (len(FILES) + 1 if arrives else 0)
    assert place.artifacts.put_all(BAIT.attempt(2), FILES, TOLD) is not arrives
    assert len(place.keys()) == len(FILES) + 1
