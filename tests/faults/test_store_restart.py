"""The store is killed and comes back: nothing that was acknowledged is lost."""

from __future__ import annotations

import threading

import pytest

from tests.stack import Stack, eventually, please
from worker.errors import StoreUnavailable

pytestmark = pytest.mark.faults


def test_what_was_acknowledged_comes_out_after_the_store_was_killed(working: Stack) -> None:
    baits = working.baits
    acknowledged, refused = [], 0
    stop = threading.Event()

    def submit_for_ever() -> None:
        nonlocal refused
        for number in range(100_000):
            request = please("sleep", seconds=0.02, n=number)
            try:
                baits.submit("local", request, lane="batch")
                acknowledged.append(request)
            except StoreUnavailable:
                refused += 1
            if stop.wait(0.03):
                return

    customer = threading.Thread(target=submit_for_ever)
    customer.start()
    try:
        for _ in range(2):
            enough = len(acknowledged) + 10
            eventually(lambda enough=enough: len(acknowledged) >= enough)
            working.store.kill()
            eventually(lambda before=refused: refused > before)
            working.store.start()
        enough = len(acknowledged) + 10
        eventually(lambda: len(acknowledged) >= enough)
    finally:
        stop.set()
        customer.join()
    assert refused
    for request in acknowledged:
        assert working.ended(request, seconds=40).status == "successful"


def test_a_build_goes_on_while_the_store_is_away(working: Stack) -> None:
    request = please("sleep", seconds=2)
    working.baits.submit("local", request)
    eventually(lambda: working.builds(request))
    working.store.kill()
    with pytest.raises(StoreUnavailable):
        working.baits.view("local", request.id)
    working.store.start()
    view = working.ended(request)
    assert (view.status, view.attempt) == ("successful", 1)
    assert len(working.builds(request)) == 1


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


def test_finished_baits_are_there_while_the_store_is_away(working: Stack) -> None:
    request = please("nothing")
    working.baits.submit("local", request)
    working.ended(request)
    working.store.kill()
    assert working.baits.view("local", request.id).status == "successful"  # type: ignore[union-attr]
    assert not working.baits.submit("local", request).created
    working.store.start()
