"""Batches on a real store: taken whole or not, told how each bait ended, dismissed without harm to others."""

from __future__ import annotations

import json
import time

import pytest

from tests.records.batch_steps import batches, begun, documents_of, finish, items, numbered, statuses
from tests.stack import Stack, please
from worker.errors import Busy, GeometryFailed, StoreUnavailable
from worker.records.artifacts import FolderArtifacts
from worker.records.attempts import Attempts
from worker.records.batch_upkeep import Sealer
from worker.records.feeder import Feeder
from worker.records.names import CLOSING, BaitName, line, open_batch

TRACE = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"  # the example of the recommendation


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


# What single baits have ----------------------------------------------------------------------------------------------


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
