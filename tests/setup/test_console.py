"""Commands whose output nobody reads to the end, as in `... | head`: they end quietly, as SIGPIPE ends a program."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.stack import ROOT
from worker.console import READER_GONE, run

SAID = [
    ["-m", "service.stack.serve", "--check-config"],
    ["-m", "worker.settings", "--check-config"],
    ["-m", "worker.settings", "--table"],
    ["-m", "service.keys", "list"],
    ["-m", "service.openapi", "/dev/null"],
    ["-m", "pourwright_client.gate", "no-such-file"],
]
HELP = [["-m", "service.stack.serve", "--help"], ["-m", "service.keys", "--help"]]


@pytest.mark.parametrize("command", [*SAID, *HELP], ids=" ".join)
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_reader_who_has_gone_is_no_traceback(command: list[str], unbuffered: str, tmp_path: Path) -> None:
    read, write = os.pipe()
    os.close(read)  # so that the first byte that is written finds nobody
    client = str(ROOT / "openapi" / "clients" / "python")
    environ = os.environ | {
        "POURWRIGHT_STATE_DIR": str(tmp_path),
        "PYTHONUNBUFFERED": unbuffered,
        "PYTHONPATH": os.pathsep.join([str(ROOT), client]),
    }
    try:
        done = subprocess.run(
            [sys.executable, *command], cwd=ROOT, env=environ, stdout=write, stderr=subprocess.PIPE, timeout=60
        )
    finally:
        os.close(write)
    assert done.stderr == b""
    # What a shell says of a program that signal 13 ended (POSIX.1-2017, Shell, 2.8.2: over 128). What tells the help
    # passes over errors itself where nothing is buffered.
    assert done.returncode == 141 == READER_GONE or (command in HELP and unbuffered and done.returncode == 0)


def test_what_a_command_returns_is_handed_on() -> None:
    assert [run(lambda: 0), run(lambda: 2)] == [0, 2]


def test_other_errors_are_not_swallowed() -> None:
    def refused() -> int:
        raise ConnectionResetError

    with pytest.raises(ConnectionResetError):
        run(refused)
