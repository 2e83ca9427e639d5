"""Dismissing in every state, with real workers."""

from __future__ import annotations

import pytest

from tests.faults.test_kills import is_alive
from tests.stack import Stack, eventually, please
from worker.records.feeder import Feeder

pytestmark = pytest.mark.faults

REQUEST = please("nothing")


def is_dismissed_and_never_built(idle: Stack) -> None:
    assert idle.baits.dismiss("local", REQUEST.id).status == "dismissed"  # type: ignore[union-attr]
    after = please("nothing", n="after")
    idle.baits.submit("local", after)
    idle.start_pool()
    assert idle.ended(after).status == "successful"
    assert idle.baits.view("local", REQUEST.id).status == "dismissed"  # type: ignore[union-attr]
    assert idle.builds(REQUEST) == []


def test_while_it_waits(idle: Stack) -> None:
    idle.baits.submit("local", REQUEST)
    is_dismissed_and_never_built(idle)


def test_while_it_stands_in_the_queue(idle: Stack) -> None:
    idle.baits.submit("local", REQUEST)
    Feeder(idle.connection, workers=2, limit_s=20).feed()
    is_dismissed_and_never_built(idle)


def test_while_it_runs_its_process_is_ended_and_no_file_stays(working: Stack) -> None:
    request = please("sleep", seconds=60, good_after=1)
    working.baits.submit("local", request)
    job, _ = eventually(lambda: working.builds(request))[0]
    assert working.baits.dismiss("local", request.id).status == "dismissed"  # type: ignore[union-attr]
    eventually(lambda: not is_alive(job), seconds=5)
    assert working.baits.wait("local", request.id, 1).status == "dismissed"  # type: ignore[union-attr]
    assert working.unfinished_folders() == []
    again = working.baits.submit("local", request)
    assert (again.created, again.bait.attempt) == (True, 2)
    assert working.ended(request).status == "successful"


def test_while_it_waits_for_another_try(working: Stack) -> None:
    request = please("kill")
    working.baits.submit("local", request)
    eventually(lambda: len(working.builds(request)) == 2)  # and now five seconds pass before the third
    eventually(lambda: working.baits.view("local", request.id).status == "accepted")  # type: ignore[union-attr]
    assert working.baits.dismiss("local", request.id).status == "dismissed"  # type: ignore[union-attr]
    eventually(lambda: working.connection.scard("pourwright:delayed") == 0)
    after = please("nothing")
    working.baits.submit("local", after)
    assert working.ended(after).status == "successful"
    assert working.baits.view("local", request.id).status == "dismissed"  # type: ignore[union-attr]
    assert len(working.builds(request)) == 2
