"""A child process that does not outlive us: a session of its own, and on Linux an end with its parent."""

from __future__ import annotations

import ctypes
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import IO

PR_SET_PDEATHSIG = 1  # linux/prctl.h

# Loaded before any fork: between fork and exec a child should do as little as it can.
_PRCTL: Callable[..., int] | None = ctypes.CDLL(None).prctl if sys.platform == "linux" else None


def spawn(
    command: Sequence[str],
    *,
    environment: Mapping[str, str],
    folder: Path | None = None,
    output: IO[bytes] | None = None,
    keep_open: Sequence[int] = (),
) -> subprocess.Popen[bytes]:
    """Start a child in a session of its own, without standard input; call it from the main thread.

    Its own session keeps a Ctrl-C in the terminal from reaching it before we have decided the order of
    stopping. On Linux it gets SIGTERM when the thread that started it ends, whatever ended it. `output` takes
    both its streams; without it they are ours. Raises OSError where the command cannot be run.
    """
    parent = os.getpid()

    def end_with_parent() -> None:
        if _PRCTL is not None:
            _PRCTL(PR_SET_PDEATHSIG, signal.SIGTERM, 0, 0, 0)
            if os.getppid() != parent:  # the parent ended before the kernel knew our wish
                os._exit(1)

    return subprocess.Popen(
        list(command),
        env=dict(environment),
        cwd=folder,
        stdin=subprocess.DEVNULL,
        stdout=output,
        stderr=subprocess.STDOUT if output is not None else None,
        pass_fds=tuple(keep_open),
        start_new_session=True,
        preexec_fn=end_with_parent,
    )


def kill_session(child: subprocess.Popen[bytes]) -> None:
    """Kill the child and whatever it left behind in its session, process groups of their own included."""
    with suppress(ProcessLookupError, PermissionError):  # macOS answers EPERM for a group of zombies
        os.killpg(child.pid, signal.SIGKILL)
    while members := _members_of_session(child.pid):  # again, for one may fork while it is being killed
        for pid in members:
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        time.sleep(0.005)


def _members_of_session(session: int) -> list[int]:
    """The living processes of a session by Linux's /proc (proc(5), stat); elsewhere none are known."""
    members = []
    for entry in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):  # ended meanwhile
            # The name stands in parentheses and may hold some; then come state, parent, group and session.
            state, _, _, of_session = entry.read_text(errors="replace").rpartition(")")[2].split()[:4]
            if int(of_session) == session and state not in "ZX":
                members.append(int(entry.parent.name))
    return members


def how_it_ended(code: int) -> str:
    """A return code in words: "exit code 3", "signal SIGKILL"."""
    if code >= 0:
        return f"exit code {code}"
    try:
        return f"signal {signal.Signals(-code).name}"
    except ValueError:
        return f"signal {-code}"
