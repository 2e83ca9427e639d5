"""One caller's long batch and another's single bait, with real workers."""

from __future__ import annotations

import time
from typing import cast

import pytest

from tests.stack import Stack, eventually, please, stack
from worker.records.batches import Batches, Item
from worker.records.view import milliseconds_between

JOB_S = 1.0
BATCH = [Item(number, None, please("sleep", seconds=JOB_S, n=number)) for number in range(16)]


def waited(working: Stack, caller: str, number: int) -> float:
    """Seconds that a single bait of this caller took from asking to its end, its own build included."""
    request = please("nothing", single=f"{caller} {number}")
    began = time.monotonic()
    working.baits.submit(caller, request)
    view = working.baits.wait(caller, request.id, 20)
    assert view is not None and view.status == "successful"
    return time.monotonic() - began


@pytest.mark.proof
def test_a_single_bait_waits_under_two_jobs_time_while_a_batch_runs(working: Stack) -> None:
    # Given a batch that keeps the workers busy
    batches = Batches.open(working.settings)
    taken = batches.submit("alder", [*BATCH])
    eventually(lambda: batches.view("alder", taken.id).counts["running"] > 0)  # type: ignore[union-attr]
    # Then singles of another, and of its own caller, pass it by, time and again
    times = []
    for number in range(4):
        times += [waited(working, caller, number) for caller in ("birch", "alder")]
    assert batches.view("alder", taken.id).status == "running"  # type: ignore[union-attr]
    assert max(times) < 2 * JOB_S, times
    # And the batch ends, and is written down
    ended = eventually(lambda: (view := batches.view("alder", taken.id)) and view.finished and view, 60)
    assert ended.counts["successful"] == len(BATCH)
    document = working.settings.state_dir / "batches" / "alder" / taken.id[:2] / f"{taken.id}.ended"
    eventually(lambda: document.exists() and '"finished"' in document.read_text())


@pytest.mark.proof
def test_of_a_batch_of_a_thousand_a_single_bait_waits_no_longer(working: Stack) -> None:
    """From being accepted to being begun, time and again while it runs: how many wait behind makes no difference."""
    batches = Batches.open(working.settings)
    thousand = [Item(number, None, please("sleep", seconds=JOB_S, thousand=number)) for number in range(1000)]
    taken = batches.submit("alder", thousand)
    eventually(lambda: batches.view("alder", taken.id).counts["running"] > 0)  # type: ignore[union-attr]
    waits = []
    for number in range(6):
        request = please("nothing", beside_a_thousand=number)
        working.baits.submit("birch", request)
        assert working.baits.wait("birch", request.id, 20).status == "successful"  # type: ignore[union-attr]
        record = cast("dict[bytes, bytes]", working.connection.hgetall(f"pourwright:bait:birch:{request.id}"))
        waits.append(milliseconds_between(record[b"created"].decode(), record[b"started"].decode()) / 1000)
    counts = batches.view("alder", taken.id).counts  # type: ignore[union-attr]
    assert counts["accepted"] > 900 and max(waits) < 2 * JOB_S, (counts, waits)
    batches.dismiss("alder", taken.id)


def begun(working: Stack) -> list[str]:
    """The ids of the baits whose builds were begun, in order."""
    return [line.split()[0] for line in (working.settings.state_dir / "builds").read_text().splitlines()]


def test_with_one_worker_a_single_bait_waits_for_one_of_the_batch_at_most() -> None:
    with stack(workers=1) as made:
        made.start_pool()
        batches = Batches.open(made.settings)
        batches.submit("alder", [*BATCH[:12]])
        eventually((made.settings.state_dir / "builds").exists)
        for number in range(4):
            before = len(begun(made))
            request = please("nothing", single=number)
            made.baits.submit("birch", request)
            assert made.baits.wait("birch", request.id, 20).status == "successful"  # type: ignore[union-attr]
            # What ran then goes on, and one may have been handed over and not yet begun
            assert begun(made)[before:].index(request.id) <= 1


def test_dismissing_a_batch_frees_the_workers(working: Stack) -> None:
    batches = Batches.open(working.settings)
    long = [Item(number, None, please("sleep", seconds=15, n=number)) for number in range(6)]
    taken = batches.submit("alder", long)
    eventually(lambda: batches.view("alder", taken.id).counts["running"] > 0)  # type: ignore[union-attr]
    assert batches.dismiss("alder", taken.id).counts["dismissed"] == 6  # type: ignore[union-attr]
    other = batches.submit("birch", [Item(0, None, please("nothing"))])
    eventually(lambda: batches.view("birch", other.id).status == "successful", 10)  # type: ignore[union-attr]
