"""Builds that end badly: each ends its bait with its own problem, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.stack import Stack, please, stack

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
    "kill": ("worker-lost", False, 3),
}
GOOD = [please("nothing", n=number) for number in range(len(POISONS))]


@pytest.fixture(scope="module")
def poisoned() -> Iterator[Stack]:
    with stack(job_limit_s=3, job_memory_mib=1024) as made:
        made.start_pool()
        for poison, good in zip(POISONS, GOOD, strict=True):
            made.baits.submit("local", please(poison))
            made.baits.submit("local", good)
        yield made


@pytest.mark.parametrize("poison", POISONS)
def test_a_poison_ends_its_bait_with_its_own_problem(poisoned: Stack, poison: str) -> None:
    kind, by_bait, tries = POISONS[poison]
    request = please(poison)
    view = poisoned.ended(request, seconds=40)
    assert view.status == "failed", view
    assert view.problem is not None
    assert view.problem["type"] == f"urn:pourwright:problem:{kind}", view.problem
    assert len(poisoned.builds(request)) == tries
    assert view.attempt == tries
    assert view.files == []
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
