"""Builds that end badly: each ends its bait with its own problem, and nothing else."""

from __future__ import annotations

import itertools
import os
import statistics
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from tests.fault_table import Tell
from tests.stack import Stack, please, stack
from worker.records.view import milliseconds_between

pytestmark = pytest.mark.faults

# What the build does: the problem that its bait ends with, whether the bait is to blame, how often it is tried.
POISONS = {
    "segfault": ("worker-crashed", True, 1),
    "abort": ("worker-crashed", True, 1),
    "exit": ("worker-crashed", True, 1),
    "memory": ("out-of-memory", True, 1),
    "python loop": ("time-limit", True, 1),
    "native loop": ("time-limit", True, 1),
    "stop": ("time-limit", True, 1),
    "geometry": ("geometry-failed", True, 1),
    "unforeseen": ("internal", False, 1),
    "small files only": ("storage-failed", False, 1),
    "garbage names": ("internal", False, 1),
    "garbage figures": ("internal", False, 1),
    "garbage half written": ("worker-crashed", True, 1),
    "garbage told": ("worker-crashed", True, 1),
    "kill": ("worker-lost", False, 3),
}
LIMIT_S = 3
TOLD = {
    "segfault": "the build reads address 0",
    "abort": "the build aborts",
    "exit": "the build ends its process with 0, and says nothing",
    "memory": "the build takes memory without end",
    "python loop": f"the build never ends, in Python; the limit is {LIMIT_S} s",
    "native loop": f"the build never ends, in C; the limit is {LIMIT_S} s",
    "stop": f"the build stops its own process; the limit is {LIMIT_S} s",
    "geometry": "the solid is not closed",
    "unforeseen": "the build raises what nobody foresaw",
    "small files only": "every write beyond 100 bytes fails (RLIMIT_FSIZE)",
    "garbage names": "the build gives files that no table has, one with a path that climbs out",
    "garbage figures": "the build gives a figure that is no number",
    "garbage half written": "half a file of noise where the bait is written, then an abort",
    "garbage told": "2 MiB of noise on both outputs, then an abort",
    "kill": "the build kills its own process (SIGKILL) each time",
}
GOOD = [please("nothing", n=number) for number in range(len(POISONS))]


@pytest.fixture(scope="module")
def poisoned() -> Iterator[Stack]:
    with stack(job_limit_s=LIMIT_S, job_memory_mib=1024) as made:
        made.start_pool()
        for poison, good in zip(POISONS, GOOD, strict=True):
            made.submit(please(poison))
            made.submit(good)
        yield made


@pytest.mark.parametrize("poison", POISONS)
def test_a_poison_ends_its_bait_with_its_own_problem(poisoned: Stack, poison: str, fault_row: Tell) -> None:
    kind, by_bait, tries = POISONS[poison]
    request = please(poison)
    view = poisoned.ended(request, seconds=40)
    assert view.status == "failed", view
    assert view.problem is not None
    record = poisoned.connection.hgetall(f"pourwright:bait:local:{request.id}")
    seconds = milliseconds_between(record[b"started"].decode(), record[b"finished"].decode()) / 1000
    seen = f"failed, {view.problem['type'].rpartition(':')[2]}, after {tries} {'try' if tries == 1 else 'tries'}"
    fault_row(f"poison: {poison}", TOLD[poison], seen, seconds if tries == 1 else None)
    assert view.problem["type"] == f"urn:pourwright:problem:{kind}", view.problem
    assert len(poisoned.builds(request)) == tries
    assert view.attempt == tries
    assert view.files == []
    assert seconds < LIMIT_S + 5
    assert poisoned.connection.hget(f"pourwright:bait:local:{request.id}", "by_bait") == b"01"[by_bait : by_bait + 1]


def test_what_was_not_foreseen_is_told_to_the_log_and_to_nobody_else(poisoned: Stack) -> None:
    view = poisoned.ended(please("unforeseen"))
    assert "secret" not in str(view)
    assert "ValueError: a secret of the inside" in poisoned.log()


def test_all_others_came_out(poisoned: Stack) -> None:
    for request in GOOD:
        assert poisoned.ended(request).status == "successful"


def test_nothing_half_written_stays(poisoned: Stack) -> None:
    for poison in POISONS:
        poisoned.ended(please(poison), seconds=40)
    assert poisoned.unfinished_folders() == []
    assert not list(poisoned.settings.state_dir.parent.rglob("escaped.stl"))


@pytest.mark.proof  # four loops for ten seconds: other tests would wait for a processor
def test_a_build_that_other_work_leaves_no_processor_is_not_its_baits_fault(fault_row: Tell) -> None:
    """Four others on the one processor that the pool may use: a build gets a fifth of it, and asked again is anew."""
    one = sorted(os.sched_getaffinity(0))[:1]
    loop = f"import os\nos.sched_setaffinity(0, {one})\nwhile True: pass"
    request = please("python loop", n="busy")
    with ExitStack() as held, stack(job_limit_s=LIMIT_S) as made:
        pool = made.start_pool()
        for _ in range(4):
            # Each in a session of its own, for the kernel divides processors between sessions first.
            other = held.enter_context(subprocess.Popen([sys.executable, "-c", loop], start_new_session=True))
            held.callback(other.kill)
        for process in Path("/proc").glob("[0-9]*"):
            if _session(process) == os.getsid(pool.pid):
                os.sched_setaffinity(int(process.name), one)
        made.submit(request)
        view = made.ended(request, seconds=40)
        assert view.problem is not None
        kind = view.problem["type"].rpartition(":")[2]
        told = "the build needs its time, and four others have its processor"
        fault_row("poison: a busy machine", told, f"failed, {kind}, and taken anew", None)
        assert kind == "host-busy", view.problem
        assert made.connection.hget(f"pourwright:bait:local:{request.id}", "by_bait") == b"0"
        made.submit(request)
        assert made.ended(request, seconds=40).attempt == 2


BESIDE = ("segfault", "kill", "memory", "python loop", "native loop")
"""Poisons that are built one after another while others' baits are. One holds a worker of two; the other is theirs."""
TURNS, ALONE, WORK_S = 2, 30, 0.25
"""How often each of them is; how many baits are asked for before and after, and how long each of their builds takes."""
NOISE_S = 0.15
"""Beyond the doubling. A fork, a hand-over and a few fsyncs lie in every bait's way, 20 ms of a processor each, and
with a poison that spins on one of two processors all other work of the machine comes on the second. A wait for a worker
that a poison holds is seconds long, and is seen at once."""


@pytest.mark.proof  # a minute, and a machine with other work on it shows that
def test_others_wait_at_most_twice_as_long_beside_poison(fault_row: Tell) -> None:
    with stack(job_limit_s=LIMIT_S, job_memory_mib=1024) as made:
        made.start_pool()
        alone = [_waited(made, f"before {number}") for number in range(ALONE + 1)][1:]  # the first waits for the pool
        ended: list[str] = []
        poisoning = threading.Thread(target=_poison, args=(made, ended))
        poisoning.start()
        numbers, beside = itertools.count(), list[float]()
        while poisoning.is_alive():
            beside.append(_waited(made, f"beside {next(numbers)}"))
        poisoning.join()
        alone += [_waited(made, f"after {number}") for number in range(ALONE)]
    usual, most = (statistics.quantiles(each, n=20)[-1] for each in (alone, beside))
    told = f"{', '.join(BESIDE)}, one after another, {len(ended)} in all, while {len(beside)} other baits are asked for"
    seen = f"p95 of a bait of {WORK_S:g} s: {usual:.2f} s without, {most:.2f} s beside"
    fault_row("poison: others' baits", told, seen, None)
    assert ended == list(BESIDE) * TURNS
    assert most <= 2 * usual + NOISE_S, (usual, most)


def _waited(made: Stack, name: str) -> float:
    """Seconds from asked for to ended of a bait that ends well."""
    request = please("sleep", seconds=WORK_S, n=name)
    made.submit(request)
    view = made.ended(request)
    assert view.status == "successful", view
    return milliseconds_between(str(view.created), str(view.finished)) / 1000


def _poison(made: Stack, ended: list[str]) -> None:
    """Each poison in turn, the next one when the last has ended, until each has been built so often."""
    for turn in range(TURNS):
        for poison in BESIDE:
            request = please(poison, n=f"beside {turn}")
            made.submit(request)
            if made.ended(request, seconds=60).status == "failed":
                ended.append(poison)


def _session(process: Path) -> int | None:
    try:
        return os.getsid(int(process.name))
    except ProcessLookupError:
        return None
