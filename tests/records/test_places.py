"""The same promises of both places of finished baits and batches: folders, and a bucket on a real S3 server."""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.records.what_is_put import BAIT, DAY, FILES, bait, manifest
from tests.requires import requires
from worker.errors import ArtifactsUnavailable
from worker.files.stored_archive import Member, StoredArchive, pieces_of
from worker.records.artifact_store import ArtifactStore
from worker.records.artifacts import FolderArtifacts
from worker.records.batch_documents import BatchDocuments, Documents, new_batch_id
from worker.records.bucket_artifacts import BucketArtifacts
from worker.records.bucket_documents import BucketDocuments
from worker.records.bucket_file import PIECE
from worker.records.clock import TrustedClock
from worker.records.manifests import Manifests
from worker.records.names import BaitName
from worker.records.retention import Retention


@dataclass
class Places:
    """The two places of one store, and another opening of the same."""

    artifacts: ArtifactStore
    documents: Documents
    again: ArtifactStore


@pytest.fixture(params=["folders", pytest.param("bucket", marks=requires("bucket"))])
def places(request: pytest.FixtureRequest, tmp_path: Path) -> Places:
    if request.param == "folders":
        return Places(FolderArtifacts(tmp_path), BatchDocuments(tmp_path), FolderArtifacts(tmp_path))
    server = request.getfixturevalue("server")
    name = server.new_bucket()
    open_ = server.open
    return Places(BucketArtifacts(open_(name)), BucketDocuments(open_(name)), BucketArtifacts(open_(name)))


def content(places: Places, name: BaitName, file: str) -> bytes | None:
    found = places.again.file(name, file)
    return None if found is None else b"".join(pieces_of(found, 0, 84))


# Baits ---------------------------------------------------------------------------------------------------------------


def test_what_was_put_is_read_again(places: Places) -> None:
    assert places.artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    assert places.again.read_manifest(BAIT) == manifest()
    found = places.again.file(BAIT, "bait.stl")
    assert found is not None and b"".join(pieces_of(found, 10, 84)) == b"\0" * 74
    assert places.again.stamp(BAIT) == places.artifacts.stamp(BAIT) is not None


@pytest.mark.parametrize("name", ["other.stl", "manifest.json", "used", "../bait.stl", "", "."])
def test_a_name_that_is_no_files_is_nobodys(places: Places, name: str) -> None:
    places.artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    assert places.artifacts.file(BAIT, name) is None
    assert places.again.file(BAIT, name) is None


def test_nothing_is_there_of_a_bait_that_is_not(places: Places) -> None:
    assert places.artifacts.stamp(BAIT) is None
    assert places.artifacts.read_manifest(BAIT) is None
    assert places.artifacts.file(BAIT, "bait.stl") is None
    assert places.artifacts.note_use(BAIT) is False
    assert places.artifacts.delete(BAIT) is False
    assert places.artifacts.shards() == []


def test_the_first_finished_writer_wins(places: Places) -> None:
    assert places.artifacts.put_all(BAIT.attempt(1), FILES, manifest(1)) is True
    assert places.again.put_all(BAIT.attempt(2), {"other.stl": b""}, manifest(2)) is False
    assert places.artifacts.read_manifest(BAIT) == manifest(1)
    assert places.artifacts.file(BAIT, "other.stl") is None


def test_of_writers_that_finish_at_once_one_wins_and_its_files_are_there(places: Places) -> None:
    together, won = threading.Barrier(8), list[int]()

    def write(number: int) -> None:
        store = places.artifacts if number % 2 else places.again

        def now() -> bool:  # all have written their files, and none its manifest
            together.wait(30)
            return True

        if store.put_all(BAIT.attempt(number), {"bait.stl": bytes([number]) * 84}, manifest(number), now):
            won.append(number)

    writers = [threading.Thread(target=write, args=(number,)) for number in range(1, 9)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert len(won) == 1
    assert places.again.read_manifest(BAIT) == manifest(won[0])
    assert content(places, BAIT, "bait.stl") == bytes([won[0]]) * 84
    assert next(places.again.kept_in("local/ab")).bytes < 2000, "the others' files are gone"


def test_what_is_no_longer_wanted_at_the_last_moment_is_not_kept(places: Places) -> None:
    assert places.artifacts.put_all(BAIT.attempt(1), FILES, manifest(), wanted=lambda: False) is False
    assert places.artifacts.stamp(BAIT) is None
    assert list(places.artifacts.kept_in("local/ab")) == []


def test_a_figure_that_is_no_number_is_refused_before_anything_is_kept(places: Places) -> None:
    with pytest.raises(ValueError):
        places.artifacts.put_all(BAIT.attempt(1), FILES, manifest() | {"metrics": {"mass_g": float("nan")}})
    assert places.artifacts.stamp(BAIT) is None


def test_a_file_whose_name_leads_elsewhere_is_not_written(places: Places) -> None:
    for name in ("../../escaped.stl", "a/b", "manifest.json", ""):
        with pytest.raises(ValueError):
            places.artifacts.put_all(BAIT.attempt(1), {name: b"x"}, manifest())
    assert places.artifacts.stamp(BAIT) is None


def test_a_bait_is_removed_whole_and_can_be_built_anew(places: Places) -> None:
    places.artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    assert places.again.file(BAIT, "bait.stl") is not None
    assert places.artifacts.delete(BAIT) is True
    assert places.artifacts.delete(BAIT) is False
    assert places.artifacts.stamp(BAIT) is None
    assert list(places.artifacts.kept_in("local/ab")) == []
    assert places.artifacts.put_all(BAIT.attempt(2), {"bait.stl": b"1" * 84}, manifest(2))
    assert content(places, BAIT, "bait.stl") == b"1" * 84, "although its earlier place was known"


def test_memory_of_a_manifest_ends_with_the_manifest(places: Places) -> None:
    manifests = Manifests(places.again, most=2)
    assert manifests.read(BAIT) is None
    places.artifacts.put_all(BAIT.attempt(1), FILES, manifest(1))
    first = manifests.read(BAIT)
    assert first is not None and manifests.read(BAIT) is first, "read once"
    places.artifacts.delete(BAIT)
    assert manifests.read(BAIT) is None
    places.artifacts.put_all(BAIT.attempt(2), FILES, manifest(2))
    assert manifests.read(BAIT).attempt == 2  # type: ignore[union-attr]


def test_a_file_is_read_in_parts_from_anywhere(places: Places) -> None:
    whole = bytes(range(256)) * (9 * PIECE // 1024)  # 2.25 pieces
    places.artifacts.put_all(BAIT.attempt(1), {"bait.stl": whole}, manifest())
    found = places.again.file(BAIT, "bait.stl")
    assert found is not None
    for low, high in ((0, len(whole)), (PIECE - 1, PIECE + 1), (len(whole) - 1, len(whole)), (7, 7)):
        pieces = list(pieces_of(found, low, high))
        assert b"".join(pieces) == whole[low:high]
        assert max(map(len, pieces), default=0) <= PIECE
    archive = StoredArchive([Member("one", len(whole), 0, found)])
    assert whole[5 : 2 * PIECE] in b"".join(archive.read(0, archive.length - 1))


def test_a_file_that_has_gone_or_is_shorter_is_an_error_and_no_short_answer(places: Places) -> None:
    places.artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    found = places.again.file(BAIT, "bait.stl")
    assert found is not None
    with pytest.raises((OSError, ArtifactsUnavailable)):
        list(pieces_of(found, 0, 1000))
    places.artifacts.delete(BAIT)
    with pytest.raises(FileNotFoundError):
        list(pieces_of(found, 0, 84))


# Retention -----------------------------------------------------------------------------------------------------------


def retention(places: Places, later_s: float, keep_s: float = 30 * DAY, most: float = float("inf")) -> Retention:
    now = time.time() + later_s
    return Retention(places.artifacts, keep_s, most, TrustedClock(lambda: now, lambda: 0.0))


def here(places: Places, *names: BaitName) -> list[bool]:
    return [places.again.stamp(name) is not None for name in names]


def test_what_is_kept_is_told_by_shards_with_its_bytes(places: Places) -> None:
    names = [bait(1), bait(2), bait(1, "shop")]
    for name in names:
        places.artifacts.put_all(name.attempt(1), {"bait.stl": bytes(5000)}, manifest())
    assert sorted(places.again.shards()) == ["local/01", "local/02", "shop/01"]
    for name in names:
        (kept,) = places.again.kept_in(f"{name.caller}/{name.id[:2]}")
        assert kept.bait == name and 5000 < kept.bytes < 6000
        assert abs(kept.used / 1e9 - time.time()) < 60


def test_what_is_old_goes(places: Places) -> None:
    for name in (bait(1), bait(2, "shop")):
        places.artifacts.put_all(name.attempt(1), FILES, manifest())
    assert retention(places, 29 * DAY).sweep() == []
    assert len(retention(places, 31 * DAY).sweep()) == 2
    assert here(places, bait(1), bait(2, "shop")) == [False, False]


def test_by_bytes_no_more_goes_than_must(places: Places) -> None:
    names = [bait(number) for number in range(6)]
    for name in names:
        places.artifacts.put_all(name.attempt(1), {"bait.stl": bytes(100_000)}, manifest())
    retention(places, 3600, most=420_000).sweep()
    assert sum(here(places, *names)) == 4


def test_one_that_is_asked_for_between_look_and_removal_stays(places: Places) -> None:
    places.artifacts.put_all(BAIT.attempt(1), FILES, manifest())
    (kept,) = places.artifacts.kept_in("local/ab")
    time.sleep(1.1)  # S3 tells times of writing to the second
    assert places.again.note_uses([BAIT, bait(3)]) == [True, False]
    assert places.artifacts.delete_unused(kept) is False
    assert here(places, BAIT) == [True]
    (kept,) = places.artifacts.kept_in("local/ab")
    assert places.artifacts.delete_unused(kept) is True
    assert places.artifacts.delete_unused(kept) is False
    assert list(places.artifacts.kept_in("local/ab")) == []


def test_a_use_that_was_noted_is_never_followed_by_a_removal(places: Places) -> None:
    stop, noted = threading.Event(), 0

    def sweep(store: ArtifactStore) -> None:
        while not stop.is_set():
            for kept in store.kept_in("local/ab"):
                if kept.used < time.time() * 1e9 - 1.2e9:
                    store.delete_unused(kept)

    sweepers = [threading.Thread(target=sweep, args=(one,)) for one in (places.artifacts, places.again)]
    for sweeper in sweepers:
        sweeper.start()
    until = time.monotonic() + 6
    try:
        while time.monotonic() < until:
            places.artifacts.put_all(BAIT.attempt(1), FILES, manifest())
            time.sleep(1.25)  # it may go from now on
            if places.again.note_use(BAIT):
                noted += 1
                settled = time.monotonic() + 1
                while not (there := places.again.stamp(BAIT)) and time.monotonic() < settled:
                    time.sleep(0.01)  # for a blink it may be on its way back
                assert there and content(places, BAIT, "bait.stl") == FILES["bait.stl"]
    finally:
        stop.set()
        for sweeper in sweepers:
            sweeper.join()


# Batches -------------------------------------------------------------------------------------------------------------


def test_what_is_kept_of_a_batch_is_written_once(places: Places) -> None:
    batch_id, documents = new_batch_id(), places.documents
    assert documents.read("local", batch_id) is None
    assert documents.stamp("local", batch_id) is None
    stamps: list[object] = [None]
    documents.create("local", {"id": batch_id, "created": "then", "items": []})
    stamps.append(documents.stamp("local", batch_id))
    documents.end("local", batch_id, {"finished": "first"})
    stamps.append(documents.stamp("local", batch_id))
    documents.end("local", batch_id, {"finished": "second"})
    assert documents.stamp("local", batch_id) == stamps[-1]
    documents.mark_removed("local", batch_id, "now")
    stamps.append(documents.stamp("local", batch_id))
    assert len(set(stamps)) == 4, "another after each fact"
    found = documents.read("local", batch_id)
    assert found is not None
    assert (found["ended"], found["removed"], found["items"]) == ({"finished": "first"}, "now", [])
    assert documents.read("shop", batch_id) is documents.read("local", "../x") is None
    (kept,) = documents.kept()
    assert (kept.caller, kept.id) == ("local", batch_id) and abs(kept.written - time.time()) < 60
    documents.delete("local", batch_id)
    assert documents.read("local", batch_id) is None and list(documents.kept()) == []
