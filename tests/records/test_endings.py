"""What the end of a job's process means, by wait status (wait(2): low 7 bits the signal, next 8 the exit code)."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from worker.jobs.endings import judge
from worker.jobs.limits import waited_for_a_processor

DETERMINISTIC = [signal.SIGSEGV, signal.SIGBUS, signal.SIGABRT, signal.SIGFPE, signal.SIGILL]
FROM_OUTSIDE = [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP, signal.SIGINT]
CORE_DUMPED = 0x80


@pytest.mark.parametrize("number", DETERMINISTIC)
@pytest.mark.parametrize("core", [0, CORE_DUMPED])
def test_a_crash_is_the_baits_and_not_tried_again(number: int, core: int) -> None:
    failure = judge(number | core, seconds=1, limit_s=30, peak_mib=100, memory_mib=2048)
    assert failure is not None
    assert (failure.kind, failure.caused_by_bait) == ("worker-crashed", True)
    assert signal.Signals(number).name in failure.detail


@pytest.mark.parametrize("number", DETERMINISTIC)
def test_a_crash_of_a_large_process_is_a_lack_of_memory(number: int) -> None:
    failure = judge(number, seconds=1, limit_s=30, peak_mib=1500, memory_mib=2048)
    assert failure is not None
    assert failure.kind == "out-of-memory"


@pytest.mark.parametrize("number", FROM_OUTSIDE)
def test_a_kill_from_outside_is_tried_again(number: int) -> None:
    assert judge(number, seconds=1, limit_s=30, peak_mib=100, memory_mib=2048) is None


@pytest.mark.parametrize("status", [signal.SIGKILL, 1 << 8, None])
def test_past_the_limit_it_was_the_limit(status: int | None) -> None:
    failure = judge(status, seconds=31.1, limit_s=30, peak_mib=100, memory_mib=2048)
    assert failure is not None
    assert (failure.kind, failure.caused_by_bait) == ("time-limit", True)


@pytest.mark.parametrize(("waited", "kind"), [(0.0, "time-limit"), (15.0, "time-limit"), (16.0, "host-busy")])
def test_past_the_limit_for_want_of_a_processor_the_bait_is_not_to_blame(waited: float, kind: str) -> None:
    failure = judge(signal.SIGKILL, seconds=31.1, limit_s=30, peak_mib=100, memory_mib=2048, waited_s=waited)
    assert failure is not None
    assert (failure.kind, failure.caused_by_bait) == (kind, kind == "time-limit")


@pytest.mark.skipif(not Path("/proc/self/schedstat").exists(), reason="no kernel here tells how long a process waited")
def test_one_of_two_that_share_a_processor_waits_half_of_its_time() -> None:
    one = sorted(os.sched_getaffinity(0))[:1]
    loop = f"import os\nos.sched_setaffinity(0, {one})\nwhile True: pass"
    # Of one session: the kernel divides processors between sessions first.
    loops = [subprocess.Popen([sys.executable, "-c", loop]) for _ in range(2)]
    try:
        time.sleep(0.5)  # both are past their start
        begun, before = time.monotonic(), [waited_for_a_processor(each.pid) for each in loops]
        time.sleep(2.0)
        waited = [waited_for_a_processor(each.pid) - was for each, was in zip(loops, before, strict=True)]
        # Whoever else is busy there makes both wait longer.
        assert sum(waited) > 0.8 * (time.monotonic() - begun)
    finally:
        for each in loops:
            each.kill()
            each.wait()
    assert waited_for_a_processor(loops[0].pid) == 0


@pytest.mark.parametrize("code", [0, 1, 77])
def test_leaving_without_a_word_is_a_crash(code: int) -> None:
    failure = judge(code << 8, seconds=1, limit_s=30, peak_mib=100, memory_mib=2048)
    assert failure is not None
    assert failure.kind == "worker-crashed"
    assert f"exit code {code}" in failure.detail


def test_an_unknown_end_is_tried_again() -> None:
    assert judge(None, seconds=1, limit_s=30, peak_mib=0, memory_mib=2048) is None
