"""Batches on a real store: taken whole or not, told how each bait ended, dismissed without harm to others."""

from __future__ import annotations

import json
import os
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.stack import Request, Stack, please
from worker.errors import Busy, GeometryFailed, StoreUnavailable
from worker.records.artifacts import FolderArtifacts
from worker.records.attempts import Attempts
from worker.records.batch_documents import BatchDocuments
from worker.records.batch_upkeep import BatchSweep, Sealer
from worker.records.batch_view import BatchView
from worker.records.batches import Batches, Item
from worker.records.clock import TrustedClock
from worker.records.feeder import Feeder
from worker.records.names import CLOSING, BaitName, line, open_batch, open_batches
from worker.records.retention import Retention

DAY = 86_400.0
TRACE = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"  # the example of the recommendation


def batches(records: Stack, **settings: int) -> Batches:
    return Batches.open(replace(records.settings, **settings))  # type: ignore[arg-type]


def items(*requests: Request | None) -> list[Item]:
    problem = {"type": "urn:pourwright:problem:invalid-request", "title": "No", "detail": "No."}
    return [
        Item(index, f"item {index}", request, None if request else problem) for index, request in enumerate(requests)
    ]


def numbered(count: int, **more: Any) -> list[Request]:
    return [please("nothing", n=number, **more) for number in range(count)]


def begun(records: Stack, request: Request, caller: str = "local") -> Any:
    """The attempt at a bait, handed over and begun as by a worker."""
    attempt = BaitName(caller, request.id).attempt(1)
    attempts = Attempts(records.connection)
    with records.connection.pipeline(transaction=True) as transaction:
        attempts.hand(attempt, transaction)
        transaction.execute()
    assert attempts.start(attempt) is not None
    return attempt


def finish(records: Stack, request: Request, caller: str = "local") -> None:
    attempt = begun(records, request, caller)
    manifest = {name: {} for name in ("request", "metrics", "timings")} | {
        name: [] for name in ("checks", "files", "cautions")
    }
    manifest |= {"id": request.id, "attempt": 1, "created": "2026-03-01T08:00:00Z", "finished": "2026-03-01T08:00:01Z"}
    records.baits._artifacts.put_all(attempt, {"metrics.json": b"{}"}, manifest)
    assert Attempts(records.connection).succeed(attempt)


def statuses(view: BatchView | None) -> list[str]:
    assert view is not None
    return [item.status for item in view.items]


def test_a_batch_tells_each_item_and_equal_ones_are_one_bait(records: Stack) -> None:
    one, other = numbered(2)
    taken = batches(records).submit("local", items(one, None, other, one))
    assert statuses(taken) == ["accepted", "invalid", "accepted", "accepted"] and taken.status == "accepted"
    assert [item.label for item in taken.items] == ["item 0", "item 1", "item 2", "item 3"]
    assert taken.items[1].problem is not None and taken.items[1].id is None
    assert records.connection.llen(line("batch", "local")) == 2
    # When one ends well and one badly
    finish(records, one)
    running = batches(records).view("local", taken.id)
    assert running is not None and running.status == "running" and running.finished is None
    Attempts(records.connection).fail(begun(records, other), GeometryFailed("The solid is not closed."))
    ended = batches(records).view("local", taken.id)
    # Then the batch has ended and counts each index
    assert ended is not None and ended.status == "successful" and ended.finished is not None
    assert statuses(ended) == ["successful", "invalid", "failed", "successful"]
    assert ended.counts == {
        "accepted": 0, "running": 0, "successful": 2, "failed": 1, "dismissed": 0, "invalid": 1,
    }  # fmt: skip
    assert ended.items[2].problem == {
        "type": "urn:pourwright:problem:geometry-failed",
        "title": GeometryFailed.title,
        "detail": "The solid is not closed.",
    }
    # And it is written down, so that it is the same once the store has forgotten how its baits ended
    Sealer(records.connection, batches(records)).look()
    assert not records.connection.exists(open_batch("local", taken.id)) and not records.connection.scard(CLOSING)
    records.connection.flushall()
    assert batches(records).view("local", taken.id) == ended
    # And its first answer can still be told
    assert ended.as_first(taken.first_letters) == taken


def test_another_caller_has_no_such_batch(records: Stack) -> None:
    taken = batches(records).submit("alder", items(*numbered(1)))
    for caller, batch_id in (("birch", taken.id), ("alder", "0" * 32), ("alder", "../" + taken.id), ("..", taken.id)):
        assert batches(records).view(caller, batch_id) is None
        assert batches(records).dismiss(caller, batch_id) is None


def test_what_is_finished_is_not_built_again_and_a_batch_of_such_has_ended_at_once(records: Stack) -> None:
    one, bad = numbered(2)
    records.baits.submit("local", one)
    finish(records, one)
    records.baits.submit("local", bad)
    Attempts(records.connection).fail(begun(records, bad), GeometryFailed("Not closed."))
    taken = batches(records).submit("local", items(one, bad))
    assert statuses(taken) == ["successful", "failed"] and taken.finished == taken.created
    assert records.connection.llen(line("batch", "local")) == 0
    # Nor after the record has been forgotten; and where the files are gone it is built again
    Sealer(records.connection, batches(records)).look()
    records.connection.flushall()
    assert statuses(batches(records).submit("local", items(one))) == ["successful"]
    records.baits.delete("local", one.id)
    assert statuses(batches(records).submit("local", items(one))) == ["accepted"]
    assert batches(records).view("local", taken.id) is not None


def test_files_cleared_away_behind_a_record_that_says_successful_are_built_again(records: Stack) -> None:
    one, other = numbered(2)
    records.baits.submit("local", one)
    finish(records, one)
    records.baits._artifacts.delete(BaitName("local", one.id))
    assert statuses(batches(records).submit("local", items(one, other))) == ["accepted", "accepted"]
    assert records.connection.hget(BaitName("local", one.id).record, "attempt") == b"2"


def test_a_batch_is_taken_whole_or_not_at_all_and_refused_at_once(records: Stack) -> None:
    small = batches(records, batch_queue_limit=10, batch_queue_limit_per_caller=6)
    small.submit("alder", items(*numbered(4)))
    with pytest.raises(Busy, match="4 baits of batches are waiting, 4 of them yours"):
        small.submit("alder", items(*numbered(3, other=1)))
    assert records.connection.llen(line("batch", "alder")) == 4
    assert len(list((records.settings.state_dir / "batches" / "alder").rglob("*.json"))) >= 1
    small.submit("alder", items(*numbered(6)))  # two new ones
    small.submit("birch", items(*numbered(4)))
    for caller in ("alder", "birch", "cedar"):
        began = time.perf_counter()
        with pytest.raises(Busy):
            small.require_room(caller)
        assert time.perf_counter() - began < 0.1
    # What is there already takes no place
    assert statuses(small.submit("birch", items(*numbered(4)))) == ["accepted"] * 4


def test_a_refused_batch_leaves_no_document(records: Stack) -> None:
    folder = records.settings.state_dir / "batches" / "elder"
    with pytest.raises(Busy):
        batches(records, batch_queue_limit_per_caller=1).submit("elder", items(*numbered(2)))
    assert list(folder.rglob("*.json")) == []


def test_dismissing_ends_what_nobody_else_wants(records: Stack) -> None:
    alone, shared, single, running, done = numbered(5)
    records.baits.submit("local", single)
    first = batches(records).submit("local", items(alone, shared, single, running, done))
    second = batches(records).submit("local", items(shared))
    finish(records, done)
    attempt = begun(records, running)
    # When the first batch is dismissed
    dismissed = batches(records).dismiss("local", first.id)
    assert dismissed is not None and dismissed.status == "dismissed"
    assert statuses(dismissed) == ["dismissed"] * 4 + ["successful"]
    # Then what it alone wanted has ended, running or not
    assert Attempts(records.connection).renew(attempt) is False
    known = {one.id: view.status for one in (alone, shared, single, running, done)
             if (view := records.baits.view("local", one.id)) is not None}  # fmt: skip
    assert known == {
        alone.id: "dismissed", running.id: "dismissed",
        shared.id: "accepted", single.id: "accepted", done.id: "successful",
    }  # fmt: skip
    assert records.connection.llen(line("batch", "local")) == 1
    # And again it is the same, whatever happens to the others
    finish(records, shared)
    assert batches(records).dismiss("local", first.id) == dismissed
    assert statuses(batches(records).view("local", second.id)) == ["successful"]


def test_a_dismissal_that_was_cut_off_is_ended_by_the_next(records: Stack) -> None:
    taken = batches(records).submit("local", items(*numbered(3)))
    records.connection.hset(open_batch("local", taken.id), "dismissed", "2026-03-01T08:00:00Z")
    half = batches(records).view("local", taken.id)
    assert half is not None and half.status == "dismissed" and half.finished is None
    assert statuses(batches(records).dismiss("local", taken.id)) == ["dismissed"] * 3
    assert records.connection.llen(line("batch", "local")) == 0


def test_a_bait_dismissed_by_itself_is_told_to_its_batch(records: Stack) -> None:
    one, other = numbered(2)
    taken = batches(records).submit("local", items(one, other))
    records.baits.dismiss("local", one.id)
    assert statuses(batches(records).view("local", taken.id)) == ["dismissed", "accepted"]


def test_a_removed_batch_is_gone_but_its_first_answer_is_kept_a_while(records: Stack) -> None:
    (one,) = numbered(1)
    taken = batches(records).submit("local", items(one))
    finish(records, one)
    batches(records).remove("local", taken.id)
    assert batches(records).view("local", taken.id) is None
    kept = batches(records).view("local", taken.id, removed=True)
    assert kept is not None and kept.as_first(taken.first_letters) == taken
    view = records.baits.view("local", one.id)
    assert view is not None and view.status == "successful"


def batch_sweep(records: Stack, keep_s: float = 30 * DAY) -> BatchSweep:
    return BatchSweep(BatchDocuments(records.settings.state_dir), batches(records), keep_s, lambda: None)


def documents_of(records: Stack) -> list[Path]:
    return list(records.settings.state_dir.glob("batches/*/*/*"))


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


# Retention --------------------------------------------------------------------------------------------------------


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


# What single baits have -------------------------------------------------------------------------------------------


def test_a_batchs_baits_are_found_by_their_plastic_and_built_under_its_trace(records: Stack) -> None:
    ours = [please("nothing", n=number, plastic={"name": "ours"}) for number in range(3)]
    batches(records).submit("local", items(*ours, please("nothing")), TRACE)
    found, count = records.baits.of_plastic("local", "ours", 9)
    assert {view.id for view in found} == {one.id for one in ours} and count == 3
    traces = {records.connection.hget(BaitName("local", one.id).record, "trace") for one in ours}
    assert traces == {TRACE.encode()}


def test_the_limits_hold_where_files_turn_out_to_be_gone_and_then_nothing_is_taken(records: Stack) -> None:
    gone, other, third = numbered(3)
    records.baits.submit("local", gone)
    finish(records, gone)
    records.baits._artifacts.delete(BaitName("local", gone.id))
    with pytest.raises(Busy):
        batches(records, batch_queue_limit_per_caller=2).submit("local", items(gone, other, third))
    assert records.connection.llen(line("batch", "local")) == 0
    assert not records.connection.keys("pourwright:batch*")
    assert statuses(batches(records, batch_queue_limit_per_caller=3).submit("local", items(gone, other, third))) == [
        "accepted"
    ] * 3  # fmt: skip


def test_a_bait_that_is_finished_between_the_look_and_the_script_is_believed(
    records: Stack, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, other = numbered(2)
    for request in (one, other):
        records.baits.submit("local", request)
    really, looks = FolderArtifacts.note_use, list[str]()

    def look_and_then_it_ends(self: FolderArtifacts, bait: BaitName) -> bool:
        found = really(self, bait)
        looks.append(bait.id)
        if looks in ([one.id], [one.id, other.id, one.id, other.id]):  # each too late for its own look
            monkeypatch.setattr(FolderArtifacts, "note_use", really)
            finish(records, one if len(looks) == 1 else other)
            monkeypatch.setattr(FolderArtifacts, "note_use", look_and_then_it_ends)
        return found

    monkeypatch.setattr(FolderArtifacts, "note_use", look_and_then_it_ends)
    taken = batches(records).submit("local", items(one, other))
    assert statuses(taken) == ["successful", "successful"] and taken.finished is not None
    assert records.connection.llen(line("batch", "local")) == 0


def test_a_batch_that_the_store_could_not_take_leaves_no_document(records: Stack) -> None:
    before = len(documents_of(records))
    away = batches(records, store_url=f"unix://{records.store.folder}/nobody")  # type: ignore[arg-type]
    with pytest.raises(StoreUnavailable):
        away.submit("local", items(*numbered(1)))
    assert len(documents_of(records)) == before


def test_a_bait_of_a_batch_that_is_asked_for_alone_goes_to_the_single_lane(records: Stack) -> None:
    requests = numbered(4)
    batches(records).submit("local", items(*requests))
    records.baits.submit("local", requests[3])
    assert records.connection.lrange(line("single", "local"), 0, -1) == [requests[3].id.encode()]
    assert records.connection.llen(line("batch", "local")) == 3
    assert Feeder(records.connection, workers=1, limit_s=20).survey().next["single"].bait.id == requests[3].id


def test_a_thousand_are_taken_and_told_in_good_time(records: Stack) -> None:
    requests = [please("nothing", n=number, filler="x" * 2000) for number in range(1000)]
    began = time.perf_counter()
    taken = batches(records).submit("local", items(*requests))
    took = time.perf_counter() - began
    began = time.perf_counter()
    assert batches(records).view("local", taken.id) == taken
    looked = time.perf_counter() - began
    began = time.perf_counter()
    batches(records).dismiss("local", taken.id)
    dismissed = time.perf_counter() - began
    print(json.dumps({"taken_s": took, "looked_s": looked, "dismissed_s": dismissed}))
    assert took < 5 and looked < 2 and dismissed < 10  # some hundredths of it on a quiet machine
