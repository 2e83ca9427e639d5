"""A worker that stalled and comes to its end when its bait has long been finished by another, or dismissed."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.records.batch_steps import begun
from tests.stack import Stack, please
from worker.records.artifacts import FolderArtifacts
from worker.records.attempts import Attempts
from worker.records.carrying import Done, carry_out, failure_of_ours
from worker.records.names import BaitName

REQUEST = please("nothing")
BAIT = BaitName("local", REQUEST.id)


def carried(records: Stack, attempt: Any, record: dict[str, Any]) -> None:
    members: dict[str, Any] = {"metrics": {"attempt": attempt.number}, "checks": [], "cautions": []}
    place = FolderArtifacts(records.settings.state_dir)
    done = Done({"metrics.json": b"{}"}, {}, members)
    carry_out(
        "bait", Attempts(records.connection), lambda: place, attempt, record, lambda normal: done, failure_of_ours
    )


def started(records: Stack, attempt: Any) -> dict[str, Any]:
    record = {key.decode(): value.decode() for key, value in records.connection.hgetall(BAIT.record).items()}
    return {**record, "request": json.loads(record["request"])}


@pytest.mark.parametrize("forgotten", [False, True])
def test_it_takes_nothing_away_from_who_finished_before(records: Stack, forgotten: bool) -> None:
    """`forgotten`: the store has let go of how it ended, as it does after ten minutes. The manifest is there."""
    records.baits.submit("local", REQUEST)
    first = begun(records, REQUEST)
    record = started(records, first)
    attempts = Attempts(records.connection)
    assert attempts.give_back(first, "running")
    second = BAIT.attempt(2)
    with records.connection.pipeline(transaction=True) as transaction:
        attempts.hand(second, transaction)
        transaction.execute()
    assert attempts.start(second)
    carried(records, second, record)
    before = records.baits.view("local", REQUEST.id)
    assert before is not None and before.metrics == {"attempt": 2}
    if forgotten:
        records.connection.delete(BAIT.record)
    carried(records, first, record)
    assert records.baits.view("local", REQUEST.id) == before


def test_what_it_moved_in_at_the_very_moment_of_a_dismissal_goes_again(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    attempt = begun(records, REQUEST)
    record = started(records, attempt)

    class Late(Attempts):
        def succeed(self, attempt: Any) -> bool:
            assert records.connection.hget(BAIT.record, "state") == b"running"
            records.connection.hset(BAIT.record, "state", "dismissed")
            return super().succeed(attempt)

    members: dict[str, Any] = {"metrics": {}, "checks": [], "cautions": []}
    place, done = FolderArtifacts(records.settings.state_dir), Done({"metrics.json": b"{}"}, {}, members)
    carry_out("bait", Late(records.connection), lambda: place, attempt, record, lambda normal: done, failure_of_ours)
    view = records.baits.view("local", REQUEST.id)
    assert view is not None and view.status == "dismissed" and place.stamp(BAIT) is None
