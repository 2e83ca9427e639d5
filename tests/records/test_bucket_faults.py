"""A bucket whose answers are lost at a bad moment, and objects in it that nobody of ours wrote, on a real S3 server."""

from __future__ import annotations

import threading
import time
from collections.abc import Collection, Iterator
from dataclasses import dataclass

import pytest

from tests.bucket_server import BucketServer
from tests.requires import requires
from tests.stack import Stack, please
from worker.errors import ArtifactsUnavailable
from worker.files.stored_archive import pieces_of
from worker.records.baits import Baits
from worker.records.bucket import Bucket, Seen
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


STRANGE = [
    b'["local","",""]',  # what a check of the bucket leaves behind where it is cut off
    b"",
    b"\xff",
    b"5",
    b'["local"]',
    b'["Not A Caller","' + b"ab" * 32 + b'","artifacts"]',
    b'["local","' + b"ab" * 32 + b'","artifacts"]',  # it would remove every bait there is
    b'["local","' + b"ab" * 32 + b'",7]',
]
"""Objects that name nothing half there."""


@pytest.mark.parametrize("content", STRANGE)
def test_what_names_nothing_half_there_is_removed_and_stops_no_sweep(
    place: Place, monkeypatch: pytest.MonkeyPatch, content: bytes
) -> None:
    assert place.artifacts.put_all(BAIT.attempt(1), FILES, TOLD)
    kept = place.keys()
    half = f"artifacts/local/cd/cd/{'cd' * 32}/cut-off"
    place.bucket.put(f"{half}/bait.stl", b"half")
    place.bucket.put(f"{ASIDE}/removed-0", content)
    place.bucket.put(f"{ASIDE}/removed-1", f'["local","{"cd" * 32}","{half}"]'.encode())
    place.bucket.put(f"{ASIDE}/removed-2", content)
    later(monkeypatch)
    assert place.again.sweep(0.0) == 1
    assert place.aside() == [] and place.keys() == kept


@pytest.mark.parametrize("key", ["notes.txt", "ab/cd/a-folder/notes.txt", "ab/ab/manifest.json"])
def test_what_bears_no_baits_name_is_passed_over(place: Place, key: str) -> None:
    assert place.artifacts.put_all(BAIT.attempt(1), FILES, TOLD)
    place.bucket.put(f"artifacts/local/{BAIT.id[:2]}/{key}", b"somebody's")
    place.bucket.put("artifacts/local/notes.txt", b"somebody's")
    place.bucket.put("artifacts/notes.txt", b"somebody's")
    kept = [one for shard in place.again.shards() for one in place.again.kept_in(shard)]
    assert [one.bait for one in kept] == [BAIT]
    assert place.again.delete_unused(kept[0])


def test_many_baits_are_looked_for_at_once(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    baits = [BaitName("local", f"{number:02x}" * 32) for number in range(32)]
    for bait in baits[::2]:
        place.artifacts.put_all(bait.attempt(1), FILES, TOLD | {"id": bait.id})
    # Nobody's look is answered before eight ask.
    together, really = threading.Barrier(8), Bucket.look

    def look(self: Bucket, key: str) -> Seen | None:
        together.wait(10)
        return really(self, key)

    monkeypatch.setattr(Bucket, "look", look)
    stamps = place.again.stamps(baits)
    monkeypatch.undo()
    assert stamps == [place.again.stamp(bait) for bait in baits]
    assert [stamp is not None for stamp in stamps] == [True, False] * 16


def test_the_baits_of_a_plastic_are_looked_for_at_once(
    place: Place, records: Stack, monkeypatch: pytest.MonkeyPatch
) -> None:
    baits = Baits(records.connection, records.connection, place.again, 100)
    asked = [please("nothing", n=number, plastic={"name": "ours"}) for number in range(16)]
    for request in asked:
        baits.submit("local", request)
        records.connection.hset(BaitName("local", request.id).record, "state", "successful")
    told = {**TOLD, "kind": "bait", "metrics": {}, "checks": [], "cautions": [], "files": [], "timings": {}}
    told |= {"created": "", "finished": ""}
    for request in asked[::2]:
        place.artifacts.put_all(BaitName("local", request.id).attempt(1), FILES, told | {"id": request.id})
    calls: list[int] = []
    really = BucketArtifacts.stamps

    def stamps(self: BucketArtifacts, names: Collection[BaitName]) -> list[object | None]:
        calls.append(len(names))
        return really(self, names)

    monkeypatch.setattr(BucketArtifacts, "stamps", stamps)
    views, there = baits.of_plastic("local", "ours", 3)
    assert calls == [16] and there == 8
    assert [view.id for view in views] == [request.id for request in asked[-2::-2]][:3]
    # Those that are gone are asked for once alone
    baits.of_plastic("local", "ours", 3)
    assert calls == [16, 8]
