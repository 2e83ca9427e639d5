"""Two workers against one, from jobs of half a second: the pool's own share, and real craws against bare processes."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import datetime
from typing import Any

from service.stack.demo_stack import running_stack
from service.stack.serve import CHECKOUT
from tests.load.calling import Caller
from tests.load.figures import Figure
from tests.stack import eventually, please, stack

JOB_S = 0.5
JOBS = 24
CRAWS = 16
BAR = 0.9


def figures() -> Iterator[Figure]:
    """Sleeping jobs in the real pool, which tell what is lost between two jobs; then work that wants a core each."""
    one, two = _sleeping(1), _sleeping(2)
    share = one / two / 2
    yield Figure(
        f"two workers, {JOBS} jobs that take {JOB_S:g} s and no core",
        f"{JOBS / two:.2f} a second",
        f"one worker: {JOBS / one:.2f} a second",
        f"{share:.2f} of twice",
        f"at least {BAR:g}",
        share >= BAR,
    )
    alone, both = _craws(1), _craws(2)
    floor = _bare(1) / _bare(2)
    share = alone / both / 2
    yield Figure(
        f"two workers, {CRAWS} real craws (STL alone), which want a core each",
        f"{CRAWS / both:.2f} a second",
        f"one worker: {CRAWS / alone:.2f} a second; the same builds in two bare processes against one: "
        f"{floor / 2:.2f} of twice",
        f"{share:.2f} of twice, {share / (floor / 2):.2f} of what bare processes gain",
        f"at least {BAR:g} of what they gain",
        share / (floor / 2) >= BAR,
    )


def _sleeping(workers: int) -> float:
    """Seconds from the first job's begin to the last one's end."""
    with stack(workers=workers) as made:
        requests = [please("sleep", seconds=JOB_S, n=number) for number in range(JOBS)]
        for request in requests:
            made.submit(request)
        made.start_pool()
        eventually(lambda: made.builds(requests[0]), 60)
        for request in requests:
            if made.ended(request, 120).status != "successful":
                raise RuntimeError("a job that only sleeps did not end well")
        return time.monotonic() - min(made.begun_at(requests[0]))


def _craws(workers: int) -> float:
    """Seconds from the first acceptance to the last end, by the service's own stamps."""
    with running_stack({"POURWRIGHT_WORKERS": str(workers)}) as (client, _):
        caller = Caller(client.port)
        client.build(_craw(99), 120)  # all is loaded and warm
        asked = [caller.submit(_craw(number)) for number in range(CRAWS)]
        ended = [caller.ended(answer.json["links"]["self"], 300) for answer in asked]
    begun = min(datetime.fromisoformat(one["created"]) for one in ended)
    return (max(datetime.fromisoformat(one["finished"]) for one in ended) - begun).total_seconds()


def _craw(number: int) -> dict[str, Any]:
    return {"style": "craw", "params": {"length": round(95 + number * 1e-3, 3)}, "outputs": ["stl"]}


def _bare(processes: int) -> float:
    """Seconds for the same craws in so many processes at once, with nothing of ours around the build."""
    share = CRAWS // processes
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.load.bare_builds"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=CHECKOUT,
        )
        for _ in range(processes)
    ]
    try:
        for place, process in enumerate(running):
            assert process.stdin is not None and process.stdout is not None
            bodies = [_craw(place * share + number) for number in range(share)]
            print(json.dumps(bodies), file=process.stdin, flush=True)
        for process in running:
            assert process.stdout is not None and process.stdout.readline() == "ready\n"
        begun = time.monotonic()
        for process in running:
            assert process.stdin is not None
            print("go", file=process.stdin, flush=True)
        for process in running:
            if process.wait(300):
                raise RuntimeError("a bare process did not end well")
        return time.monotonic() - begun
    finally:
        for process in running:
            process.kill()
            process.communicate()
