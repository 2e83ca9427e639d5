"""Many deaths in a row, for the numbers: nothing that was accepted is lost."""

from __future__ import annotations

import os
import random
import signal
import statistics
import threading
import time
from collections.abc import Iterator
from contextlib import suppress

import pytest

from tests.fault_table import RECOVERED_WITHIN_S, Tell
from tests.stack import Stack, eventually, please, stack

pytestmark = [pytest.mark.faults, pytest.mark.proof]

WORKERS = 10


def pool_of(workers: int) -> Iterator[Stack]:
    with stack(workers=workers) as made:
        made.start_pool()
        yield made


@pytest.fixture
def crowd() -> Iterator[Stack]:
    """A pool of ten workers."""
    yield from pool_of(WORKERS)


@pytest.fixture
def few() -> Iterator[Stack]:
    """A pool of five: so few die at once that the machine is not busy with beginning new ones."""
    yield from pool_of(5)


def test_jobs_killed_at_random_moments(crowd: Stack, fault_row: Tell) -> None:
    chance = random.Random(3)
    requests = [please("sleep", seconds=0.5, good_after=1, n=number) for number in range(100)]
    stop = threading.Event()
    killed: set[int] = set()

    def kill_first_builds() -> None:
        while not stop.wait(0.02):
            for request in requests:
                for job, _ in crowd.builds(request)[:1]:
                    if job not in killed and chance.random() < 0.3:
                        killed.add(job)
                        with suppress(ProcessLookupError):
                            os.kill(job, signal.SIGKILL)

    killer = threading.Thread(target=kill_first_builds)
    killer.start()
    try:
        for request in requests:
            crowd.submit(request, lane="batch")
        views = [crowd.ended(request, seconds=50) for request in requests]
    finally:
        stop.set()
        killer.join()
    again = sum(view.attempt > 1 for view in views)
    lost = sum(view.status != "successful" for view in views)
    seen = f"{lost} lost; {again} of them built on a later attempt"
    fault_row(
        "100 job processes killed", "SIGKILL to the first build of each of 100 baits, some in the midst", seen, None
    )
    assert lost == 0
    assert again > 30
    assert crowd.unfinished_folders() == []


def test_worker_groups_killed_thirty_times(few: Stack, fault_row: Tell) -> None:
    requests = [please("sleep", seconds=60, good_after=1, n=number) for number in range(30)]
    for request in requests:
        few.submit(request)
    killed: dict[str, float] = {}

    def kill_those_that_run() -> bool:
        for request in requests:
            if request.id not in killed and (builds := few.builds(request)):
                job, worker = builds[0]
                for process in (worker, job):
                    with suppress(ProcessLookupError):
                        os.kill(process, signal.SIGKILL)
                killed[request.id] = time.monotonic()
        return len(killed) == len(requests)

    eventually(kill_those_that_run, seconds=50)
    lost = sum(few.ended(request, seconds=50).status != "successful" for request in requests)
    again = [few.begun_at(request)[1] - killed[request.id] for request in requests]
    fault_row(
        "30 worker groups killed",
        "SIGKILL to each of 5 workers and its build, as soon as it has begun one, 30 in all",
        f"{lost} lost; begun again after {statistics.median(again):.1f} s in the middle",
        max(again),
    )
    assert lost == 0
    assert max(again) < RECOVERED_WITHIN_S


def test_fifty_workers_die_between_taking_a_job_and_beginning_it(crowd: Stack, fault_row: Tell) -> None:
    for number in range(50):
        (crowd.settings.state_dir / f"die-before-start-{number}").touch()
    requests = [please("nothing", n=number) for number in range(60)]
    for request in requests:
        crowd.submit(request, lane="batch")
    lost = sum(crowd.ended(request, seconds=55).status != "successful" for request in requests)
    twice = sum(len(crowd.builds(request)) > 1 for request in requests)
    left = len(list(crowd.settings.state_dir.glob("die-before-start-*")))
    done = f"SIGKILL to {50 - left} workers, each as it has taken one of 60 jobs"
    fault_row("50 killed between dequeue and start", done, f"{lost} lost, {twice} built twice", None)
    assert (lost, twice, left) == (0, 0, 0)
