"""The store goes away under a job at its worst moment: what is kept by then ends well, and nobody hears otherwise."""

from __future__ import annotations

import os
from types import SimpleNamespace
from typing import Any

import pytest
from redis.exceptions import ConnectionError as StoreConnectionError

from tests.stack import Stack, please
from worker.errors import StoreUnavailable
from worker.jobs import run
from worker.jobs.endings import judge
from worker.records import scripts
from worker.records.attempts import Attempts
from worker.records.carrying import Done
from worker.records.feeder import Feeder
from worker.records.names import BaitName

REQUEST = please("nothing")
BAIT = BaitName("local", REQUEST.id)


def built(normal: dict[str, Any]) -> Done:
    members = {"metrics": {}, "checks": [], "cautions": [], "answer": {}}
    return Done({"metrics.json": b"{}"}, {}, members)


def away(*_: object, **__: object) -> Any:
    raise StoreConnectionError("Connection refused.")


@pytest.mark.parametrize(("moment", "kept"), [("standing", False), ("succeed", True)])
def test_a_job_says_that_another_try_may_do(
    records: Stack, monkeypatch: pytest.MonkeyPatch, moment: str, kept: bool
) -> None:
    def leave(code: int) -> None:
        raise SystemExit(code)

    feeder = Feeder(records.connection, workers=1, limit_s=20)
    monkeypatch.setattr(run, "get_current_job", lambda: SimpleNamespace(connection=records.connection))
    monkeypatch.setattr(run, "load", lambda: records.settings)
    monkeypatch.setattr(run, "WORK", {"bait": built})
    records.baits.submit("local", REQUEST)
    feeder.feed()
    with monkeypatch.context() as patched, pytest.raises(SystemExit) as left:
        patched.setattr(Attempts, moment, away)
        patched.setattr(os, "_exit", leave)
        run.build_bait("local", REQUEST.id, 1)
    view = records.baits.view("local", REQUEST.id)
    assert view is not None and view.status == ("successful" if kept else "running")
    # wait(2): the exit code stands in the second byte of a status
    assert judge(int(str(left.value.code)) << 8, seconds=61, limit_s=30, peak_mib=100, memory_mib=2048) is None
    assert Attempts(records.connection).again(BAIT.attempt(1)) == "again"
    records.connection.register_script(scripts.DUE)(args=["local", REQUEST.id])
    feeder.feed()
    run.build_bait("local", REQUEST.id, 2)
    assert records.connection.hget(BAIT.record, "state") == b"successful"
    assert records.connection.hget("pourwright:tally", "ended:single:failed") is None


def test_a_small_fit_that_the_store_leaves_is_not_failed_for_a_fault_of_ours(
    records: Stack, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patched, pytest.raises(StoreUnavailable):
        patched.setattr(Attempts, "standing", away)
        records.fits.do("local", REQUEST, built)
    assert records.connection.hget(BAIT.record, "state") == b"running"  # until its lease lapses
    assert records.connection.hget("pourwright:tally", "ended:fit:failed") is None
