"""Which process does something, told so that another on the same machine can see whether it is still there."""

from __future__ import annotations

import os
import socket
from functools import cache
from pathlib import Path


def mark_of(pid: int) -> str:
    """A name that no other process on any machine has; "" where this machine cannot tell.

    Machine and start (`boot_id`), the process namespace, so that containers of one host are told apart, and the process
    with the moment at which it began, for numbers are used again (Linux, proc(5)).
    """
    began = _began(pid)
    return f"{_here()} {pid} {began}" if _here() and began else ""


def is_gone(mark: str) -> bool:
    """Whether the process of this mark was one of this machine and has ended. False where nobody here can tell."""
    here, _, process = mark.rpartition(" ")[0].rpartition(" ")
    if not here or here != _here():
        return False
    pid, began = process, mark.rpartition(" ")[2]
    return _began(int(pid)) != began


@cache
def _here() -> str:
    try:
        boot = Path("/proc/sys/kernel/random/boot_id").read_text("ascii").strip()
        return f"{socket.gethostname()} {boot} {os.stat('/proc/self/ns/pid').st_ino}"
    except OSError:
        return ""


def _began(pid: int) -> str:
    """When a process began, in ticks since the machine did; "" where it is not there, or dead and not waited for."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text("utf-8", "replace").rpartition(")")[2].split()
    except OSError:
        return ""
    return "" if fields[0] in "ZX" else fields[19]  # state is the third field, starttime the twenty-second
