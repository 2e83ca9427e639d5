"""The wall clock of the workers' machine is set, back or ahead, while they build."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from datetime import datetime
from pathlib import Path

import pytest

from tests.fault_table import RECOVERED_WITHIN_S, Tell
from tests.faults.test_kills import begun
from tests.requires import requires
from tests.stack import Stack, please

pytestmark = [pytest.mark.faults, requires("compiler")]

SOURCE = Path(__file__).with_name("settable_clock.c")
DAY_S = 86_400


class Clock:
    """The wall clock of a pool, its steward and its workers."""

    def __init__(self, idle: Stack) -> None:
        library = idle.settings.state_dir / "clock.so"
        compiler = ["cc", "-shared", "-fPIC", "-O1", "-o", str(library), str(SOURCE), "-ldl"]
        subprocess.run(compiler, check=True, capture_output=True)
        self._file = idle.settings.state_dir / "clock"
        idle.environ |= {"LD_PRELOAD": str(library), "CLOCK_FILE": str(self._file)}

    def move(self, seconds: int) -> None:
        aside = self._file.with_suffix(".new")
        aside.write_text(str(seconds))
        aside.rename(self._file)


@pytest.mark.parametrize(
    ("days", "words"), [(-1, "back by a day"), pytest.param(40, "ahead by 40 days", marks=pytest.mark.proof)]
)
def test_leases_and_retries_do_not_hear_of_a_clock_that_is_set(
    idle: Stack, fault_row: Tell, days: int, words: str
) -> None:
    clock = Clock(idle)
    idle.start_pool()
    running, dying = please("sleep", seconds=4), please("sleep", seconds=60, good_after=1)
    begun(idle, running)
    job, worker = begun(idle, dying)
    clock.move(days * DAY_S)
    killed = time.monotonic()
    os.kill(worker, signal.SIGKILL)
    os.kill(job, signal.SIGKILL)
    view = idle.ended(running, seconds=40)
    again = idle.ended(dying, seconds=40)
    seconds = time.monotonic() - killed
    after = please("nothing")
    idle.submit(after)
    assert idle.ended(after, seconds=40).status == "successful"
    assert (view.status, view.attempt) == ("successful", 1)
    assert len(idle.builds(running)) == 1
    assert (again.status, again.attempt) == ("successful", 2)
    assert view.finished is not None
    apart = datetime.fromisoformat(view.finished).timestamp() - time.time()
    assert apart == pytest.approx(days * DAY_S, abs=600), "the workers' clock was really set"
    assert min(view.timings.values(), default=0) >= 0
    assert seconds < RECOVERED_WITHIN_S
    seen = "the build that ran ends on attempt 1; that of a worker killed just then is built on attempt 2"
    fault_row(f"clock set {words}", f"the workers' wall clock set {words} in the midst of builds", seen, seconds)
