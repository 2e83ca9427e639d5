"""What is kept, and for how long: real folders, a real store, and a clock of the test's own."""

from __future__ import annotations

import os
import random
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest

from tests.stack import Stack, eventually, please
from worker.jobs.caretaker import Caretaker
from worker.records import artifacts, turn
from worker.records.artifact_store import Kept
from worker.records.artifacts import FolderArtifacts
from worker.records.attempts import Attempts
from worker.records.baits import Baits
from worker.records.batch_upkeep import BatchSweep
from worker.records.clock import TrustedClock
from worker.records.connect import for_steward
from worker.records.feeder import Feeder
from worker.records.names import SWEEPING, BaitName
from worker.records.retention import SURE_S, Horizon, Retention, horizon_of
from worker.records.turn import Turn, TurnLost

HOUR = 3600.0
DAY = 24 * HOUR
NOW = 1_800_000_000.0


def bait(number: int, caller: str = "local") -> BaitName:
    return BaitName(caller, f"{random.Random(number).getrandbits(256):064x}")


class Shelf:
    """Folders of baits, each as old and as large as a test says."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.artifacts = FolderArtifacts(folder)
        self.now = NOW
        self.moved = 0.0  # by how much the wall clock was set

    def put(self, name: BaitName, idle_s: float, size: int = 1000) -> None:
        told = {"id": name.id, "attempt": 1, "request": {}, "metrics": {}, "checks": [], "cautions": [], "files": []}
        told |= {"created": "", "finished": "", "timings": {}}
        assert self.artifacts.put_all(name.attempt(1), {"bait.stl": bytes(size)}, told)
        used = int((self.now - idle_s) * 1e9)
        os.utime(self.place(name), ns=(used, used))

    def place(self, name: BaitName) -> Path:
        return self.folder / "artifacts" / name.caller / name.id[:2] / name.id[2:4] / name.id

    def retention(self, keep_s: float = 30 * DAY, most_bytes: float = float("inf")) -> Retention:
        clock = TrustedClock(lambda: self.now + self.moved, lambda: self.now)
        return Retention(self.artifacts, keep_s, most_bytes, clock)

    def here(self, *names: BaitName) -> list[bool]:
        return [self.artifacts.stamp(name) is not None for name in names]

    def kept(self, name: BaitName) -> Kept:
        shard = f"{name.caller}/{name.id[:2]}"
        return next(kept for kept in self.artifacts.kept_in(shard) if kept.bait == name)


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path)


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


# Asked for -----------------------------------------------------------------------------------------------------------


def open_baits(records: Stack) -> tuple[Shelf, Baits]:
    shelf = Shelf(records.settings.state_dir)
    shelf.now = time.time()
    return shelf, records.baits


REQUEST = please("nothing")
BAIT = BaitName("local", REQUEST.id)


@pytest.mark.parametrize("ask", ["view", "submit", "both in memory"])
def test_a_bait_that_is_asked_for_is_not_swept(records: Stack, ask: str) -> None:
    shelf, baits = open_baits(records)
    shelf.put(BAIT, 31 * DAY)
    if ask == "both in memory":  # a process that has it in memory since long ago notes a use all the same
        assert baits.view("local", BAIT.id) is not None
        kept = baits._manifests._kept[BAIT]
        baits._manifests._kept[BAIT] = (*kept[:2], kept[2] - 301)
        os.utime(shelf.place(BAIT), (0, 0))
    if ask == "submit":
        assert baits.submit("local", REQUEST).created is False
    else:
        assert baits.view("local", BAIT.id) is not None
    assert shelf.retention().sweep() == []
    assert shelf.here(BAIT) == [True]


def test_one_that_is_asked_for_between_look_and_removal_stays(shelf: Shelf) -> None:
    shelf.put(bait(1), 31 * DAY)
    kept = shelf.kept(bait(1))
    assert shelf.artifacts.note_use(bait(1))
    assert shelf.artifacts.delete_unused(kept) is False
    assert shelf.here(bait(1)) == [True]


def test_one_that_is_asked_for_in_the_very_moment_is_put_back(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    shelf.put(bait(1), 31 * DAY)
    kept, rename = shelf.kept(bait(1)), os.rename
    with monkeypatch.context() as patched:
        patched.setattr(os, "rename", lambda old, new: (shelf.artifacts.note_use(bait(1)), rename(old, new)))
        assert shelf.artifacts.delete_unused(kept) is False
    assert shelf.here(bait(1)) == [True]
    assert os.listdir(shelf.folder / "artifacts" / ".aside") == []


def test_one_that_a_sweep_is_about_to_put_back_is_removed_all_the_same(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf.put(bait(1), 31 * DAY)
    kept, rename, removed = shelf.kept(bait(1)), os.rename, list[bool]()

    def rename_slowly(old: Path, new: Path) -> None:
        if ".aside" in str(old):  # on its way back, since it was asked for in the very moment
            caller.start()
            time.sleep(0.005)
        rename(old, new)

    caller = threading.Thread(target=lambda: removed.append(shelf.artifacts.delete(bait(1))))
    monkeypatch.setattr(os, "rename", rename_slowly)
    monkeypatch.setattr(artifacts, "BLINK_S", 0.2)
    really = shelf.artifacts._move_aside
    monkeypatch.setattr(
        shelf.artifacts, "_move_aside", lambda name: (moved := really(name), os.utime(moved, (0, 0)))[0]
    )
    assert shelf.artifacts.delete_unused(kept) is False
    caller.join()
    assert removed == [True] and shelf.here(bait(1)) == [False]


def test_a_use_that_was_noted_is_never_followed_by_a_removal(shelf: Shelf) -> None:
    name, stop = bait(1), threading.Event()
    shelf.now = time.time()  # the readers' clock, by which uses are noted
    old = int((shelf.now - DAY) * 1e9)

    def sweep() -> None:
        while not stop.is_set():
            for kept in shelf.artifacts.kept_in(f"{name.caller}/{name.id[:2]}"):
                if kept.used < old:
                    shelf.artifacts.delete_unused(kept)

    sweepers = [threading.Thread(target=sweep) for _ in range(2)]
    for sweeper in sweepers:
        sweeper.start()
    noted = gone = 0
    until = time.monotonic() + 3
    try:
        while time.monotonic() < until:
            shelf.put(name, 31 * DAY)
            if shelf.artifacts.note_use(name):
                noted += 1
                eventually(lambda: shelf.artifacts.delete(name), seconds=5)  # for a blink it may be on its way back
            else:
                gone += 1
    finally:
        stop.set()
        for sweeper in sweepers:
            sweeper.join()
    assert noted


def test_without_the_right_to_write_a_use_goes_unnoted_and_the_answer_comes(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf.put(bait(1), 0)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "utime", refuse)
    assert shelf.artifacts.note_use(bait(1)) is True


# Whose turn it is ----------------------------------------------------------------------------------------------------


def test_of_two_caretakers_one_sweeps_at_a_time(records: Stack, monkeypatch: pytest.MonkeyPatch) -> None:
    shelf, _ = open_baits(records)
    shelf.put(BAIT, 31 * DAY)
    with Turn(records.connection).taken() as ours:
        assert ours
        Caretaker(records.settings, records.connection, shelf.artifacts).round()
        assert shelf.here(BAIT) == [True]
    Caretaker(records.settings, records.connection, shelf.artifacts).round()
    assert shelf.here(BAIT) == [False]
    assert not records.connection.exists(SWEEPING)


def test_a_turn_is_kept_by_signs_of_life_and_lost_without(records: Stack, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(turn, "SAY_EVERY_S", 0.0)
    first, second = Turn(records.connection), Turn(records.connection)
    with first.taken():
        assert 50_000 < records.connection.pttl(SWEEPING) <= 60_000
        records.connection.pexpire(SWEEPING, 1000)
        first.keep()
        assert records.connection.pttl(SWEEPING) > 50_000
        records.connection.delete(SWEEPING)  # a minute without a sign of life
        with second.taken() as ours:
            assert ours
            with pytest.raises(TurnLost):
                first.keep()
    assert not records.connection.exists(SWEEPING)


def test_a_turn_that_was_lost_is_not_given_back_for_another(records: Stack) -> None:
    first, second = Turn(records.connection), Turn(records.connection)
    with first.taken():
        records.connection.delete(SWEEPING)
        with second.taken():
            first._give_back(keys=[SWEEPING], args=[first._name])
            assert records.connection.exists(SWEEPING)


def test_without_the_store_nothing_is_swept(records: Stack, caplog: pytest.LogCaptureFixture) -> None:
    shelf, _ = open_baits(records)
    shelf.put(BAIT, 31 * DAY)
    settings = replace(records.settings, store_url=f"unix://{records.store.folder}/nobody")
    Caretaker(settings, for_steward(settings), shelf.artifacts).round()
    assert shelf.here(BAIT) == [True] and "nothing was swept" in caplog.text


def test_batches_are_swept_by_the_caretaker_and_only_by_a_clock_that_is_believed(
    records: Stack, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf, _ = open_baits(records)
    looked_at: list[float] = []
    monkeypatch.setattr(BatchSweep, "look", lambda self, now: looked_at.append(now))
    caretaker = Caretaker(records.settings, records.connection, shelf.artifacts)
    moved = 0.0
    caretaker._clock = caretaker._retention._clock = TrustedClock(lambda: NOW + moved, lambda: NOW)
    moved = 40 * DAY
    caretaker.round()
    assert looked_at == []
    moved = 0.0
    caretaker.round()
    caretaker.round()
    assert looked_at == [NOW], "once an hour"


# A swept bait, and what dead builds leave --------------------------------------------------------------------------


def test_a_swept_bait_is_unknown_and_the_same_post_builds_it_anew(records: Stack) -> None:
    shelf, baits = open_baits(records)
    shelf.put(BAIT, 31 * DAY)
    assert shelf.retention().sweep() == [BAIT]
    assert baits.view("local", BAIT.id) is None
    assert baits.delete("local", BAIT.id) is False
    again = baits.submit("local", REQUEST)
    assert (again.created, again.bait.status) == (True, "accepted")


def test_a_bait_that_is_built_anew_is_not_swept_meanwhile(records: Stack) -> None:
    shelf, baits = open_baits(records)
    baits.submit("local", REQUEST)
    Feeder(records.connection, workers=1, limit_s=20).feed()
    attempts = Attempts(records.connection)
    assert attempts.start(BAIT.attempt(1))
    half = records.settings.state_dir / "artifacts" / ".aside" / BAIT.attempt(1).job_id
    half.mkdir(parents=True)
    os.utime(half, (0, 0))  # begun long ago, on a slow disk
    caretaker = Caretaker(records.settings, records.connection, shelf.artifacts)
    caretaker.round()
    assert half.exists()
    attempts.again(BAIT.attempt(1))
    caretaker.round()
    assert not half.exists(), "its lease has lapsed"


def test_what_is_half_removed_goes_and_what_nobody_can_tell_stays(records: Stack) -> None:
    shelf, _ = open_baits(records)
    aside = records.settings.state_dir / "artifacts" / ".aside"
    for name in ("removed-1", BAIT.attempt(1).job_id):
        (aside / name).mkdir(parents=True)
        os.utime(aside / name, (0, 0))
    (aside / "removed-2").mkdir()
    with records.connection as connection:
        caretaker = Caretaker(records.settings, connection, shelf.artifacts)
    caretaker._is_alive = lambda job_id: job_id != "removed-1"  # type: ignore[method-assign]  # the store is away
    caretaker.round()
    assert sorted(os.listdir(aside)) == sorted([BAIT.attempt(1).job_id, "removed-2"])


def test_records_of_how_baits_ended_go_by_themselves(records: Stack) -> None:
    baits = records.baits
    baits.submit("local", REQUEST)
    baits.dismiss("local", REQUEST.id)
    assert 0 < records.connection.ttl(BAIT.record) <= 600 < SURE_S
    assert 0 < records.connection.ttl(BAIT.ending) <= 600
