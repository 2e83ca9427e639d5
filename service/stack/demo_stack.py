"""A whole stack for the length of one demo: a free port, a state folder of its own, nothing left afterwards."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from service.stack.client import Client
from service.stack.failure import StartFailed
from service.stack.process import how_it_ended, kill_session, spawn
from service.stack.serve import CHECKOUT, answers_ok, claimable_port
from service.stack.supervise import STOP_SIGNALS

HOST = "127.0.0.1"
READY_WITHIN_S = 120.0
STOPS_WITHIN_S = 120.0
POLL_S = 0.05


@contextmanager
def running_stack(more: Mapping[str, str] | None = None) -> Iterator[tuple[Client, Path]]:
    """A stack on a free port with a state folder that is removed with it: a client of it, and its log.

    `more` has settings besides, by whole names.
    """
    before = {number: signal.getsignal(number) for number in STOP_SIGNALS}
    try:
        port = claimable_port(HOST, 0)
        with tempfile.TemporaryDirectory(prefix="pourwright-demo-", ignore_cleanup_errors=True) as state:
            environment = {
                **os.environ,
                **(more or {}),
                "POURWRIGHT_HOST": HOST,
                "POURWRIGHT_PORT": str(port),
                "POURWRIGHT_STATE_DIR": state,
                "POURWRIGHT_KEYS_FILE": "",
                "POURWRIGHT_METRICS_PORT": "",
                "POURWRIGHT_STORE_URL": "",  # a store of its own, so that nothing is left in anybody else's
            }
            log = Path(state) / "stack.log"
            with log.open("wb") as output:
                command = [sys.executable, "-m", "service.stack.serve"]
                stack = spawn(command, environment=environment, folder=CHECKOUT, output=output)
            try:
                _wait_until_ready(stack, port, log)
                yield Client(HOST, port), log
            finally:
                _stop(stack)
    finally:  # only now: until the folder is gone too, a further Ctrl-C must break nothing off
        for number, handler in before.items():
            signal.signal(number, handler)


def last_lines(log: Path) -> str:
    """The end of a log, for a message."""
    return "\n".join(log.read_text(errors="replace").splitlines()[-20:])


def _wait_until_ready(stack: subprocess.Popen[bytes], port: int, log: Path) -> None:
    deadline = time.monotonic() + READY_WITHIN_S
    while not answers_ok(HOST, port, "/readyz"):
        ended = stack.poll()
        if ended is not None or time.monotonic() > deadline:
            how = f"ended with {how_it_ended(ended)}" if ended is not None else "was not ready in time"
            raise StartFailed(f"The service {how}. The last that it said:\n{last_lines(log)}")
        time.sleep(POLL_S)


def _stop(stack: subprocess.Popen[bytes]) -> None:
    """Stop in order; nothing of it is left when this returns. A Ctrl-C meanwhile hurries it."""

    def hurry(number: int, frame: object) -> None:
        stack.terminate()

    for number in STOP_SIGNALS:
        signal.signal(number, hurry)
    try:
        stack.terminate()
        stack.wait(STOPS_WITHIN_S)
    except subprocess.TimeoutExpired:
        kill_session(stack)
        stack.wait()
