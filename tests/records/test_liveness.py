"""How often somebody says that he is there: often enough to be counted, and no more, for each time costs a write."""

from __future__ import annotations

import time

import pytest
from redis.exceptions import ConnectionError as StoreConnectionError

from tests.stack import Stack
from worker.jobs.steward import Steward
from worker.records.artifacts import FolderArtifacts
from worker.records.liveness import SAID_FOR_S, SAY_EVERY_S, Pulse, stewards_workers


def test_a_pulse_is_said_at_once_and_then_three_times_while_it_holds() -> None:
    now, said = 100.0, list[float]()
    pulse = Pulse(lambda: said.append(now), lambda: now)
    for _ in range(int(SAID_FOR_S / 0.25) + 1):
        pulse.beat()
        now += 0.25
    assert said == pytest.approx([100.0, 104.5, 109.0, 113.5])
    assert SAID_FOR_S / SAY_EVERY_S > 3


def test_what_could_not_be_said_is_said_at_the_next_beat() -> None:
    tried = []

    def say() -> None:
        tried.append(len(tried))
        if len(tried) < 3:
            raise StoreConnectionError("away")

    pulse = Pulse(say, lambda: 0.0)
    for _ in range(2):
        with pytest.raises(StoreConnectionError):
            pulse.beat()
    pulse.beat()
    pulse.beat()
    assert tried == [0, 1, 2]


def test_a_steward_that_looks_four_times_a_second_writes_only_what_has_changed(records: Stack) -> None:
    with records.connection as connection:
        steward = Steward(records.settings, connection, FolderArtifacts(records.settings.state_dir))
        steward.round()
        assert stewards_workers(connection) == records.settings.workers
        written = (
            connection.info("replication")["master_repl_offset"],
            connection.info("persistence")["aof_current_size"],
        )
        for _ in range(6):
            time.sleep(0.24)
            steward.round()
        after = connection.info("replication")["master_repl_offset"], connection.info("persistence")["aof_current_size"]
    assert after == written
