"""A worker killed in the midst of a real build, with the build: how long until another has built the bait."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import psutil

from service.stack.demo_stack import running_stack
from tests.load.calling import Caller
from tests.load.figures import Figure
from tests.stack import eventually

DEATHS = 3
WITHIN_S = 15.0


def figures() -> Iterator[Figure]:
    """From the kill to the bait's end, its build included."""
    with running_stack({"POURWRIGHT_WORKERS": "2"}) as (client, _):
        caller = Caller(client.port)
        begun = time.monotonic()
        client.build(_long(0), 120)
        unharmed = time.monotonic() - begun
        whole = len(_below())
        took, attempts = [], []
        for death in range(1, DEATHS + 1):
            idle = eventually(lambda: _as_many_as(whole), 60)
            path = caller.submit(_long(death)).json["links"]["self"]
            worker, job = eventually(lambda idle=idle: _at_work(idle), 60)
            killed = time.monotonic()
            for process in (worker, job):
                with suppress(psutil.NoSuchProcess):
                    process.kill()
            bait = caller.ended(path, 120)
            took.append(time.monotonic() - killed)
            attempts.append(bait["status"])
    longest = max(took)
    yield Figure(
        f"a worker and its build killed, {DEATHS} times",
        ", ".join(f"{seconds:.1f}" for seconds in took) + " s from the kill to the bait's end",
        f"such a bait unharmed: {unharmed:.1f} s",
        f"{longest:.1f} s at the longest, {attempts.count('successful')} of {DEATHS} built",
        f"under {WITHIN_S:g} s",
        longest < WITHIN_S and attempts.count("successful") == DEATHS,
    )


def _long(number: int) -> dict[str, Any]:
    return {"style": "craw", "params": {"length": round(95 + number * 1e-3, 3)}}


def _below() -> set[psutil.Process]:
    return set(psutil.Process().children(recursive=True))


def _as_many_as(whole: int) -> set[psutil.Process] | None:
    """The idle stack's processes, once there is one in place of each that was killed, and no job's."""
    found = _below()
    return found if len(found) == whole else None


def _at_work(idle: set[psutil.Process]) -> tuple[psutil.Process, psutil.Process] | None:
    """A worker, and the process that it has begun for a job: the one that was not there before."""
    for job in _below() - idle:
        with suppress(psutil.NoSuchProcess):
            worker = job.parent()
            if worker in idle:
                return worker, job
    return None
