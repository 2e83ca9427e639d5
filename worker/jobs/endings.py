"""What it means how a job's process ended, where it did not say so itself."""

from __future__ import annotations

import os
import signal

from worker.errors import BuildFailed, OutOfMemory, TimeLimitExceeded, WorkerCrashed

# A process that ends by one of these would do so again; SIGKILL and SIGTERM come from outside.
OF_ITS_OWN_DOING = frozenset(
    getattr(signal, name) for name in ("SIGSEGV", "SIGBUS", "SIGABRT", "SIGFPE", "SIGILL", "SIGTRAP", "SIGSYS")
)
OUTER_LIMIT_S = 1.5  # past the limit; looked at twice a second, so that the process is gone within two seconds
INNER_LIMIT_S = 1.0  # past the limit; in the process itself, for native code that hears no signal
STORE_AWAY = os.EX_TEMPFAIL  # a job could not say how it ended: the store was away, maybe for long


def judge(status: int | None, seconds: float, limit_s: float, peak_mib: float, memory_mib: float) -> BuildFailed | None:
    """Why a process with this wait status failed its bait; None where another try may well succeed.

    `seconds` it ran, `peak_mib` it held at most. Native code that is refused memory ends by a segmentation
    fault or an abort, which only its size tells from one that has another cause.
    """
    if status is not None and os.WIFEXITED(status) and os.WEXITSTATUS(status) == STORE_AWAY:
        return None
    if seconds >= limit_s:
        return TimeLimitExceeded("The work ran past its time limit and was ended.")
    if status is None:
        return None
    if not os.WIFSIGNALED(status):
        return WorkerCrashed(f"The work ended its process with exit code {os.WEXITSTATUS(status)}.")
    number = os.WTERMSIG(status)
    if number not in OF_ITS_OWN_DOING:
        return None
    if peak_mib >= memory_mib / 2:
        return OutOfMemory("The work asked for more memory than it may have.")
    return WorkerCrashed(f"The work ended its process ({signal.Signals(number).name}).")
