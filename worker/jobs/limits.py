"""What a job's process may not do: outlive its worker, take all memory, run on in native code; what kept it waiting."""

from __future__ import annotations

import ctypes
import faulthandler
import os
import resource
import signal
import sys
from pathlib import Path

HEADROOM_MIB = 512  # above the soft limit, to report that it was reached
_PR_SET_PDEATHSIG = 1  # linux/prctl.h


def die_with_parent(parent: int, signal_number: int) -> None:
    """Ask the kernel for a signal when `parent` ends, and end at once if it has ended already."""
    if sys.platform == "linux":
        ctypes.CDLL(None, use_errno=True).prctl(_PR_SET_PDEATHSIG, signal_number, 0, 0, 0)
    if os.getppid() != parent:
        os._exit(1)


def limit_memory(mib: int) -> None:
    """At most so much address space: past it NumPy raises MemoryError and native code may crash."""
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if sys.platform == "linux":  # elsewhere the kernel refuses or ignores it
        resource.setrlimit(resource.RLIMIT_AS, (mib << 20, (mib + HEADROOM_MIB) << 20))


def end_after(seconds: float) -> None:
    """End this process then, with a trace on standard error, even where native code holds the interpreter."""
    faulthandler.dump_traceback_later(seconds, exit=True, file=sys.stderr)


def reset_signals() -> None:
    """In a forked process: none of the parent's handlers."""
    signal.set_wakeup_fd(-1)
    for number in (signal.SIGTERM, signal.SIGINT, signal.SIGCHLD):
        signal.signal(number, signal.SIG_DFL)


def waited_for_a_processor(pid: int) -> float:
    """For how many seconds that process was ready to run and others had the processors (proc(5), schedstat).

    0 where no kernel tells it, and for a process that is gone.
    """
    try:
        return int(Path(f"/proc/{pid}/schedstat").read_text("ascii").split()[1]) / 1e9
    except (OSError, IndexError, ValueError):
        return 0.0
