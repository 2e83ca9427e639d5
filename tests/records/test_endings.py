"""What the end of a job's process means, by wait status (wait(2): low 7 bits the signal, next 8 the exit code)."""

from __future__ import annotations

import signal

import pytest

from worker.jobs.endings import judge

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


@pytest.mark.parametrize("code", [0, 1, 77])
def test_leaving_without_a_word_is_a_crash(code: int) -> None:
    failure = judge(code << 8, seconds=1, limit_s=30, peak_mib=100, memory_mib=2048)
    assert failure is not None
    assert failure.kind == "worker-crashed"
    assert f"exit code {code}" in failure.detail


def test_an_unknown_end_is_tried_again() -> None:
    assert judge(None, seconds=1, limit_s=30, peak_mib=0, memory_mib=2048) is None
