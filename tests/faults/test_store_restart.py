"""The store is killed and comes back: nothing that was acknowledged is lost."""

from __future__ import annotations

import threading
import time

import pytest

from tests.fault_table import Tell
from tests.stack import Request, Stack, eventually, please
from worker.errors import StoreUnavailable

pytestmark = pytest.mark.faults


@pytest.mark.parametrize("times", [2, pytest.param(5, marks=pytest.mark.proof)])
def test_what_was_acknowledged_comes_out_after_the_store_was_killed(
    working: Stack, fault_row: Tell, times: int
) -> None:
    baits = working.baits
    acknowledged: list[Request] = []
    refusals: list[float] = []  # how long each took
    stop = threading.Event()

    def submit_for_ever() -> None:
        for number in range(100_000):
            request = please("sleep", seconds=0.02, n=number)
            asked = time.monotonic()
            try:
                baits.submit("local", request, lane="batch")
                acknowledged.append(request)
            except StoreUnavailable:
                refusals.append(time.monotonic() - asked)
            if stop.wait(0.05):
                return

    def go_on() -> None:
        enough = len(acknowledged) + 10
        eventually(lambda: len(acknowledged) >= enough, seconds=40)

    back = []
    customer = threading.Thread(target=submit_for_ever)
    customer.start()
    try:
        for _ in range(times):
            go_on()
            working.store.kill()
            refused = len(refusals)
            eventually(lambda refused=refused: len(refusals) > refused)
            working.store.start()
            started, before = time.monotonic(), len(acknowledged)
            eventually(lambda before=before: len(acknowledged) > before, every=0.002)
            back.append(time.monotonic() - started)
        go_on()
    finally:
        stop.set()
        customer.join()
    for request in acknowledged:
        assert working.ended(request, seconds=60).status == "successful"
    done = f"SIGKILL to the store {times} times, 20 submissions a second"
    seen = (
        f"{len(acknowledged)} acknowledged, 0 lost; {len(refusals)} refused, each within {max(refusals) * 1000:.0f} ms"
    )
    fault_row("store killed and restarted", done, seen, max(back))
    assert max(back) < 5


def test_a_build_goes_on_while_the_store_is_away(working: Stack, fault_row: Tell) -> None:
    request = please("sleep", seconds=2)
    working.submit(request)
    eventually(lambda: working.builds(request))
    working.store.kill()
    with pytest.raises(StoreUnavailable):
        working.baits.view("local", request.id)
    working.store.start()
    view = working.ended(request)
    assert (view.status, view.attempt) == ("successful", 1)
    assert len(working.builds(request)) == 1
    fault_row("store killed under a build", "SIGKILL to the store, back at once", "built on attempt 1, once", None)


def test_a_waiter_is_told_what_was_last_known_when_the_store_goes_away(working: Stack) -> None:
    request = please("sleep", seconds=2)
    baits = working.baits
    baits.submit("local", request)
    eventually(lambda: working.builds(request))
    seen: list[str] = []
    waiter = threading.Thread(target=lambda: seen.append(baits.wait("local", request.id, 20).status))  # type: ignore[union-attr]
    waiter.start()
    eventually(lambda: working.connection.info("clients")["blocked_clients"])
    working.store.kill()
    waiter.join(10)
    assert seen == ["running"]
    working.store.start()


def test_finished_baits_are_there_while_the_store_is_away(working: Stack, fault_row: Tell) -> None:
    request = please("nothing")
    working.submit(request)
    working.ended(request)
    working.store.kill()
    assert working.baits.view("local", request.id).status == "successful"  # type: ignore[union-attr]
    assert not working.baits.submit("local", request).created
    working.store.start()
    fault_row(
        "store away, bait finished", "SIGKILL to the store", "the bait and the same POST are answered as ever", None
    )
