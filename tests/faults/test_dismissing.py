"""Dismissing in every state, with real workers."""

from __future__ import annotations

import contextlib
import random
import time

import pytest

from tests.fault_table import Tell
from tests.faults.test_kills import is_alive
from tests.stack import Stack, eventually, please
from worker.errors import StoreUnavailable
from worker.records.feeder import Feeder

pytestmark = pytest.mark.faults

REQUEST = please("nothing")
NEVER_BUILT = "dismissed, never built; the next bait is"


def is_dismissed_and_never_built(idle: Stack) -> None:
    assert idle.baits.dismiss("local", REQUEST.id).status == "dismissed"  # type: ignore[union-attr]
    after = please("nothing", n="after")
    idle.submit(after)
    idle.start_pool()
    assert idle.ended(after).status == "successful"
    assert idle.baits.view("local", REQUEST.id).status == "dismissed"  # type: ignore[union-attr]
    assert idle.builds(REQUEST) == []


def test_while_it_waits(idle: Stack, fault_row: Tell) -> None:
    idle.submit(REQUEST)
    is_dismissed_and_never_built(idle)
    fault_row("cancelled while it waits", "dismissed before any worker is there", NEVER_BUILT, None)


def test_while_it_stands_in_the_queue(idle: Stack, fault_row: Tell) -> None:
    idle.submit(REQUEST)
    Feeder(idle.connection, workers=2, limit_s=20).feed()
    is_dismissed_and_never_built(idle)
    fault_row("cancelled in the queue", "dismissed between hand-over and start", NEVER_BUILT, None)


def test_while_it_runs_its_process_is_ended_and_no_file_stays(working: Stack, fault_row: Tell) -> None:
    request = please("sleep", seconds=60, good_after=1)
    working.submit(request)
    job, _ = eventually(lambda: working.builds(request))[0]
    dismissed = time.monotonic()
    assert working.baits.dismiss("local", request.id).status == "dismissed"  # type: ignore[union-attr]
    eventually(lambda: not is_alive(job), seconds=10)
    seconds = time.monotonic() - dismissed
    fault_row(
        "cancelled while it runs", "dismissed in the midst of a build", "its process is ended, no file stays", seconds
    )
    assert working.baits.wait("local", request.id, 1).status == "dismissed"  # type: ignore[union-attr]
    assert working.unfinished_folders() == []
    again = working.baits.submit("local", request)
    assert (again.created, again.bait.attempt) == (True, 2)
    assert working.ended(request).status == "successful"


def test_while_it_waits_for_another_try(working: Stack, fault_row: Tell) -> None:
    request = please("kill")
    working.submit(request)
    eventually(lambda: len(working.builds(request)) == 2)  # and now five seconds pass before the third
    eventually(lambda: working.baits.view("local", request.id).status == "accepted")  # type: ignore[union-attr]
    assert working.baits.dismiss("local", request.id).status == "dismissed"  # type: ignore[union-attr]
    eventually(lambda: working.connection.scard("pourwright:delayed") == 0)
    after = please("nothing")
    working.submit(after)
    assert working.ended(after).status == "successful"
    assert working.baits.view("local", request.id).status == "dismissed"  # type: ignore[union-attr]
    assert len(working.builds(request)) == 2
    fault_row(
        "cancelled between two tries", "dismissed after its build was killed twice", "dismissed, no third try", None
    )


@pytest.mark.parametrize(("do", "status"), [("nothing", "successful"), ("geometry", "failed")])
def test_once_it_has_ended_it_is_removed(working: Stack, fault_row: Tell, do: str, status: str) -> None:
    request = please(do)
    working.submit(request)
    assert working.ended(request).status == status
    assert working.baits.dismiss("local", request.id).status == status, "to dismiss it changes nothing"  # type: ignore[union-attr]
    assert working.baits.delete("local", request.id) is True
    assert working.baits.view("local", request.id) is None
    assert working.baits.delete("local", request.id) is False
    assert list(working.settings.state_dir.glob("artifacts/local/*/*/*")) == []
    fault_row(
        f"cancelled once {status}", "dismissed, then removed", "stays as it ended, then unknown; no file stays", None
    )


def test_at_any_moment_it_is_dismissed_without_files_or_finished_with_all(working: Stack, fault_row: Tell) -> None:
    chance = random.Random(11)
    requests = [please("sleep", seconds=chance.random() * 0.05, n=number, bytes=300_000) for number in range(30)]
    for request in requests:
        working.submit(request, lane=chance.choice(("single", "batch")))
        if chance.random() < 0.6:
            eventually(lambda request=request: working.builds(request))
        time.sleep(chance.random() * 0.15)
        with contextlib.suppress(StoreUnavailable):  # a busy machine; then it is built
            working.baits.dismiss("local", request.id)
    ended = [working.ended(request, seconds=40).status for request in requests]
    eventually(lambda: working.unfinished_folders() == [])
    for request, status in zip(requests, ended, strict=True):
        files = list(working.settings.state_dir.glob(f"artifacts/local/*/*/{request.id}/*"))
        assert len(files) == {"successful": 3, "dismissed": 0}[status]
    done = f"{ended.count('dismissed')} dismissed without a file, {ended.count('successful')} finished with all"
    fault_row(
        "cancelled at any moment", "30 baits dismissed 0 to 150 ms after they were asked for or begun", done, None
    )
