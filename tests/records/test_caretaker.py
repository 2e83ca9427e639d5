"""The caretaker's rounds: one sweeps at a time, and what dead builds leave goes."""

from __future__ import annotations

import os
from dataclasses import replace

import pytest

from tests.records.shelf import BAIT, DAY, NOW, REQUEST, open_baits
from tests.stack import Stack
from worker.jobs.caretaker import Caretaker
from worker.records import turn
from worker.records.attempts import Attempts
from worker.records.batch_upkeep import BatchSweep
from worker.records.clock import TrustedClock
from worker.records.connect import for_steward
from worker.records.feeder import Feeder
from worker.records.names import SWEEPING
from worker.records.turn import Turn, TurnLost

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


# What dead builds leave ----------------------------------------------------------------------------------------------


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
