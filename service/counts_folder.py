"""The folder in which all processes of one service keep their counts; named before the client library is loaded."""

from __future__ import annotations

MULTIPROCESS = "PROMETHEUS_MULTIPROC_DIR"


def forget(pid: int) -> None:
    """Note that a process has ended."""
    from prometheus_client.multiprocess import mark_process_dead  # the library reads the folder's name when it loads

    mark_process_dead(pid)  # type: ignore[no-untyped-call]
