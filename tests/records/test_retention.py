"""What is kept, and for how long: real folders, a real store, and a clock of the test's own."""

from __future__ import annotations

import time

import pytest

from tests.records.shelf import BAIT, DAY, HOUR, REQUEST, Shelf, bait, open_baits
from tests.stack import Stack
from worker.records.clock import TrustedClock
from worker.records.retention import SURE_S, Horizon, Retention, horizon_of


def test_a_bait_goes_by_its_age(shelf: Shelf) -> None:
    young, old = bait(1), bait(2)
    shelf.put(young, 29 * DAY)
    shelf.put(old, 31 * DAY)
    assert shelf.retention().sweep() == [old]
    assert shelf.here(young, old) == [True, False]
    shelf.now += 2 * DAY
    assert shelf.retention().sweep() == [young]


def test_without_limits_nothing_goes(shelf: Shelf) -> None:
    shelf.put(bait(1), 10_000 * DAY)
    shelf.retention(keep_s=float("inf")).sweep()
    assert shelf.here(bait(1)) == [True]


def test_by_bytes_those_asked_for_least_lately_go_and_no_more_than_must(shelf: Shelf) -> None:
    names = [bait(number, caller) for number, caller in enumerate(["local", "shop", "local", "shop", "local"])]
    for hours, name in enumerate(names, start=1):
        shelf.put(name, hours * HOUR, size=100_000)
    shelf.retention(most_bytes=320_000).sweep()
    assert shelf.here(*names) == [True, True, True, False, False]
    shelf.retention(most_bytes=320_000).sweep()
    assert shelf.here(*names) == [True, True, True, False, False]


def test_what_others_removed_since_the_last_sweep_is_not_removed_once_more(shelf: Shelf) -> None:
    names = [bait(number) for number in range(4)]
    for hours, name in enumerate(names, start=1):
        shelf.put(name, hours * HOUR, size=100_000)
    retention = shelf.retention(most_bytes=220_000)
    for name in names:
        shelf.artifacts.note_use(name)  # all in use: nothing can go, and it is known that too much is there
    shelf.now = time.time()
    assert retention.sweep() == []
    for name in names[:2]:
        shelf.artifacts.delete(name)  # by its caller
    shelf.now += HOUR
    assert retention.sweep() == [] and shelf.here(*names) == [False, False, True, True]


def test_what_is_held_stays_and_the_bytes_that_must_go_are_others(shelf: Shelf) -> None:
    names = [bait(number) for number in range(40)]
    for name in names:
        shelf.put(name, 2 * HOUR, size=100_000)
    held, clock = names[12:], TrustedClock(lambda: shelf.now, lambda: shelf.now)
    retention = Retention(
        shelf.artifacts, 30 * DAY, 3_050_000, clock, lambda caller, ids: {one.id for one in held} & {*ids}
    )
    removed = retention.sweep()
    assert len(removed) == 10 and not {*removed} & {*held}


def test_of_one_minute_only_as_many_go_as_must(shelf: Shelf) -> None:
    names = [bait(number) for number in range(20)]
    for name in names:
        shelf.put(name, 2 * HOUR, size=100_000)
    shelf.retention(most_bytes=1_510_000).sweep()
    assert sum(shelf.here(*names)) == 15


def test_what_was_built_or_asked_for_just_now_stays_whatever_the_limits(
    shelf: Shelf, caplog: pytest.LogCaptureFixture
) -> None:
    shelf.put(bait(1), SURE_S - 1)
    shelf.put(bait(2), SURE_S + 61)
    shelf.retention(keep_s=0, most_bytes=0).sweep()
    assert shelf.here(bait(1), bait(2)) == [True, False]
    assert "more is kept than may be" in caplog.text


def test_a_clock_that_was_set_back_removes_nothing(shelf: Shelf) -> None:
    shelf.put(bait(1), 29 * DAY)
    shelf.now -= 300 * DAY
    shelf.retention(most_bytes=0).sweep()
    assert shelf.here(bait(1)) == [True]


def test_a_clock_that_is_set_ahead_is_believed_after_a_day(shelf: Shelf, caplog: pytest.LogCaptureFixture) -> None:
    shelf.put(bait(1), DAY)
    retention = shelf.retention()
    shelf.moved = 365 * DAY
    for _ in range(23):
        assert retention.sweep() == []
        shelf.now += HOUR
    assert caplog.text.count("the clock was set") == 1
    shelf.moved = 0.0
    assert retention.sweep() == []
    shelf.moved = 365 * DAY
    assert retention.sweep() == [], "the day begins anew"
    shelf.now += 25 * HOUR
    assert retention.sweep() == [bait(1)]


def test_small_steps_of_the_clock_are_believed_at_once(shelf: Shelf) -> None:
    shelf.put(bait(1), 30 * DAY - 1800)
    retention = shelf.retention()
    shelf.moved = 3000
    assert retention.sweep() == [bait(1)]


def test_the_horizon_is_the_minute_that_overflows() -> None:
    assert horizon_of({}, 10) == Horizon()
    assert horizon_of({1: 5, 3: 5}, 10) == Horizon()
    assert horizon_of({1: 5, 2: 5, 3: 8}, 10) == Horizon(2, 3)
    assert horizon_of({1: 5}, 0) == Horizon(1, 5)


def test_strange_names_are_passed_over(shelf: Shelf) -> None:
    shelf.put(bait(1), 31 * DAY)
    strange = shelf.place(bait(1)).parent / "notes"
    strange.mkdir()
    (shelf.folder / "artifacts" / "a file").touch()
    (shelf.folder / "artifacts" / "No Caller" / "aa" / "bb" / bait(3).id).mkdir(parents=True)
    assert shelf.retention().sweep() == [bait(1)]
    assert strange.exists()


def test_a_reader_gets_all_bytes_of_a_file_that_goes_meanwhile(shelf: Shelf) -> None:
    shelf.put(bait(1), 31 * DAY, size=3_000_000)
    path = shelf.artifacts.file(bait(1), "bait.stl")
    assert path is not None
    with open(path, "rb") as reader:
        begun = reader.read(1000)
        assert shelf.retention().sweep() == [bait(1)]
        assert not path.exists()
        assert len(begun) + len(reader.read()) == 3_000_000


def test_a_swept_bait_is_unknown_and_the_same_post_builds_it_anew(records: Stack) -> None:
    shelf, baits = open_baits(records)
    shelf.put(BAIT, 31 * DAY)
    assert shelf.retention().sweep() == [BAIT]
    assert baits.view("local", BAIT.id) is None
    assert baits.delete("local", BAIT.id) is False
    again = baits.submit("local", REQUEST)
    assert (again.created, again.bait.status) == (True, "accepted")


def test_records_of_how_baits_ended_go_by_themselves(records: Stack) -> None:
    baits = records.baits
    baits.submit("local", REQUEST)
    baits.dismiss("local", REQUEST.id)
    assert 0 < records.connection.ttl(BAIT.record) <= 600 < SURE_S
    assert 0 < records.connection.ttl(BAIT.ending) <= 600
