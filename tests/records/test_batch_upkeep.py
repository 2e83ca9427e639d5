"""What is kept of batches and their baits: written down at the end, held until then, swept when old."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

import pytest

from tests.records.batch_steps import DAY, batches, documents_of, finish, items, numbered, statuses
from tests.stack import Request, Stack
from worker.records.artifacts import FolderArtifacts
from worker.records.batch_documents import BatchDocuments
from worker.records.batch_upkeep import BatchSweep, Sealer
from worker.records.clock import TrustedClock
from worker.records.names import open_batch, open_batches
from worker.records.retention import Retention

# Documents -----------------------------------------------------------------------------------------------------------


def batch_sweep(records: Stack, keep_s: float = 30 * DAY) -> BatchSweep:
    return BatchSweep(BatchDocuments(records.settings.state_dir), batches(records), keep_s, lambda: None)


def test_old_documents_are_swept_closed_ones_sooner_and_open_ones_never(records: Stack) -> None:
    open_one, removed, ended = (batches(records).submit("local", items(one)) for one in numbered(3))
    batches(records).dismiss("local", removed.id)
    finish(records, numbered(3)[2])
    batches(records).seal("local", ended.id)
    assert batch_sweep(records).look(time.time() + 0.9 * DAY) == 0
    assert batch_sweep(records).look(time.time() + 1.1 * DAY) == 1
    assert batches(records).view("local", removed.id, removed=True) is None
    assert batch_sweep(records).look(time.time() + 29 * DAY) == 0
    assert batch_sweep(records).look(time.time() + 31 * DAY) == 1
    assert batches(records).view("local", ended.id) is None
    # However old it is, one that has not ended stays, and takes what becomes of it
    assert batch_sweep(records).look(time.time() + 10_000 * DAY) == 0
    finish(records, numbered(1)[0])
    Sealer(records.connection, batches(records)).look()
    assert statuses(batches(records).view("local", open_one.id)) == ["successful"]


def test_a_batch_that_the_store_has_lost_is_ended_before_it_goes(records: Stack) -> None:
    done, lost = numbered(2)
    taken = batches(records).submit("local", items(done, lost))
    finish(records, done)
    records.connection.flushall()
    assert batch_sweep(records).look(time.time() + 31 * DAY) == 0
    document = BatchDocuments(records.settings.state_dir).read("local", taken.id)
    assert document is not None
    assert [told[0] for told in document["ended"]["outcomes"].values()] == ["successful", "dismissed"]
    assert batch_sweep(records).look(time.time() + 31 * DAY) == 1


def test_a_sweep_reads_again_only_what_was_written_since(records: Stack, monkeypatch: pytest.MonkeyPatch) -> None:
    (one,) = numbered(1)
    taken = batches(records).submit("local", items(one))
    sweep, read = batch_sweep(records), list[str]()
    really = BatchDocuments.read
    monkeypatch.setattr(
        BatchDocuments,
        "read",
        lambda self, caller, batch_id: (read.append(batch_id), really(self, caller, batch_id))[1],
    )
    for hours in (25, 26, 27):
        sweep.look(time.time() + hours * 3600)
    assert read.count(taken.id) == 1
    batches(records).dismiss("local", taken.id)
    later = time.time() + 60 * 3600
    for path in documents_of(records):
        if path.suffix == ".ended" and path.stem == taken.id:
            os.utime(path, (later - 26 * 3600,) * 2)
    assert sweep.look(later) == 1


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff\xfe", b'{"items": [7], "created": "", "id": ""}'])
def test_a_document_that_cannot_be_read_holds_up_no_other(
    records: Stack, content: bytes, caplog: pytest.LogCaptureFixture
) -> None:
    bad, good = numbered(2)
    broken = batches(records).submit("local", items(bad))
    whole = batches(records).submit("local", items(good))
    for one in (bad, good):
        finish(records, one)
    (path,) = (path for path in documents_of(records) if path.stem == broken.id)
    path.write_bytes(content)
    sealer = Sealer(records.connection, batches(records))
    for _ in range(3):
        sealer.look()
    assert caplog.text.count("a batch could not be written down") == 1, "not four times a second"
    assert not records.connection.exists(open_batch("local", whole.id))
    assert statuses(batches(records).view("local", whole.id)) == ["successful"]
    # Nor does it hold up the sweep, in which it stays: nobody can tell whether it has ended
    assert batch_sweep(records).look(time.time() + 31 * DAY) >= 1
    assert batches(records).view("local", whole.id) is None and path.exists()
    assert "a batch could not be looked at" in caplog.text


def test_a_batch_that_is_removed_while_another_writes_how_it_ended_stays_removed(
    records: Stack, monkeypatch: pytest.MonkeyPatch
) -> None:
    (one,) = numbered(1)
    taken = batches(records).submit("local", items(one))
    finish(records, one)
    other, really = batches(records), BatchDocuments.end

    def removed_meanwhile(self: BatchDocuments, *ended: Any) -> None:
        monkeypatch.setattr(BatchDocuments, "end", really)
        batches(records).remove("local", taken.id)
        really(self, *ended)

    monkeypatch.setattr(BatchDocuments, "end", removed_meanwhile)
    other.seal("local", taken.id)
    assert batches(records).view("local", taken.id) is None
    assert batches(records).view("local", taken.id, removed=True) is not None


# Baits ---------------------------------------------------------------------------------------------------------------


def age(records: Stack, request: Request, seconds: float) -> Path:
    """Have a finished bait look as if it had not been asked for since."""
    folder = next(records.settings.state_dir.glob(f"artifacts/local/*/*/{request.id}"))
    os.utime(folder, (time.time() - seconds,) * 2)
    return folder


def retention(records: Stack, keep_s: float = DAY, most_bytes: float = float("inf")) -> Retention:
    artifacts = FolderArtifacts(records.settings.state_dir)
    return Retention(artifacts, keep_s, most_bytes, TrustedClock(), batches(records).held)


@pytest.mark.parametrize("limits", [{}, {"keep_s": float("inf"), "most_bytes": 0}])
def test_no_bait_of_a_batch_that_has_not_ended_is_swept(records: Stack, limits: dict[str, float]) -> None:
    first, last, before, alone = numbered(4)
    for one in (before, alone):
        records.baits.submit("local", one)
        finish(records, one)
    taken = batches(records).submit("local", items(first, last, before))
    finish(records, first)
    for one in (first, before, alone):
        age(records, one, 2 * DAY)
    assert [one.id for one in retention(records, **limits).sweep()] == [alone.id]
    # And when it ends its baits are as if they had just been asked for
    finish(records, last)
    age(records, last, 2 * DAY)
    Sealer(records.connection, batches(records)).look()
    assert retention(records, **limits).sweep() == []
    assert statuses(batches(records).view("local", taken.id)) == ["successful"] * 3
    for one in (first, before, last):
        age(records, one, 2 * DAY)
    assert len(retention(records, **limits).sweep()) == 3


def test_a_batch_uses_what_is_finished_when_it_is_asked_for(records: Stack) -> None:
    (one,) = numbered(1)
    records.baits.submit("local", one)
    finish(records, one)
    folder = age(records, one, 2 * DAY)
    batches(records).submit("local", items(one))
    assert time.time() - folder.stat().st_mtime < 60


def test_a_batch_that_is_gone_from_the_store_holds_nothing(records: Stack) -> None:
    (one,) = numbered(1)
    taken = batches(records).submit("local", items(one))
    assert batches(records).held("local", [one.id, "f" * 64]) == {one.id}
    assert batches(records).held("other", [one.id]) == set()
    records.connection.delete(open_batch("local", taken.id))
    assert batches(records).held("local", [one.id]) == set()
    assert not records.connection.exists(open_batches("local"))
