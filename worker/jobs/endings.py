"""What it means how a job's process ended, where it did not say so itself."""

from __future__ import annotations

import os
import signal

from worker.errors import BuildFailed, HostBusy, OutOfMemory, TimeLimitExceeded, WorkerCrashed

# A process that ends by one of these would do so again; SIGKILL and SIGTERM come from outside.
OF_ITS_OWN_DOING = frozenset(
    getattr(signal, name) for name in ("SIGSEGV", "SIGBUS", "SIGABRT", "SIGFPE", "SIGILL", "SIGTRAP", "SIGSYS")
)
OUTER_LIMIT_S = 1.5  # past the limit; looked at twice a second, so that the process is gone within two seconds
INNER_LIMIT_S = 1.0  # past the limit; in the process itself, for native code that hears no signal
STORE_AWAY = os.EX_TEMPFAIL  # a job could not say how it ended: the store was away, maybe for long


def overdue(seconds: float, waited_s: float) -> BuildFailed:
    """Whose fault it is that work was not done in its time: the bait's, unless the machine gave it less than half.

    Of `seconds` it was ready for `waited_s` without a processor.
    """
    if waited_s > seconds / 2:
        return HostBusy(
            f"The work ran past its time limit; for {waited_s:.0f} of {seconds:.0f} seconds other work had the "
            "processors. The same request may well succeed when there is less to do."
        )
    return TimeLimitExceeded("The work ran past its time limit and was ended.")


def judge(
    status: int | None, seconds: float, limit_s: float, peak_mib: float, memory_mib: float, waited_s: float = 0.0
) -> BuildFailed | None:
    """Why a process with this wait status failed its bait; None where another try may well succeed.

    `seconds` it ran, `waited_s` of them for a processor, `peak_mib` it held at most. Native code that is refused
    memory ends by a segmentation fault or an abort, which only its size tells from one that has another cause.
    """
    if status is not None and os.WIFEXITED(status) and os.WEXITSTATUS(status) == STORE_AWAY:
        return None
    if seconds >= limit_s:
        return overdue(seconds, waited_s)
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
