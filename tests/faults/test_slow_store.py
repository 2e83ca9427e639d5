"""The store answers late, or for a while not at all: requests are refused soon, and no build is begun twice."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest

from tests.fault_table import Tell
from tests.faults.slow_proxy import SlowProxy
from tests.stack import Stack, eventually, please, stack
from worker.errors import StoreUnavailable

pytestmark = pytest.mark.faults


@pytest.fixture
def proxy() -> Iterator[SlowProxy]:
    made = SlowProxy()
    yield made
    made.close()


@pytest.fixture
def far(proxy: SlowProxy) -> Iterator[Stack]:
    """A pool and callers that reach the store through the proxy alone; the test itself looks past it."""
    with stack(store_url=proxy.url, job_limit_s=60) as made:
        proxy.target = made.store.folder / "s"
        made.start_pool()
        yield made
        proxy.delay_s = 0.0
        proxy.release()


def submitted_again(far: Stack, **more: object) -> float:
    """Seconds until a submission is taken."""
    begun = time.monotonic()

    def is_taken() -> bool:
        try:
            return bool(far.baits.submit("local", please("nothing", **more)))
        except StoreUnavailable:
            return False

    eventually(is_taken, seconds=30)
    return time.monotonic() - begun


def state(far: Stack, bait_id: str) -> str:
    """Past the proxy."""
    return (far.connection.hget(f"pourwright:bait:local:{bait_id}", "state") or b"").decode()


def test_a_store_that_answers_late_slows_and_breaks_nothing(far: Stack, proxy: SlowProxy, fault_row: Tell) -> None:
    proxy.delay_s = 0.03
    requests = [please("nothing", n=number) for number in range(5)]
    for request in requests:
        far.submit(request)
    views = [far.ended(request, seconds=40) for request in requests]
    assert [(view.status, view.attempt) for view in views] == [("successful", 1)] * 5
    assert all(len(far.builds(request)) == 1 for request in requests)
    fault_row("store slow: 60 ms", "every answer 60 ms late, 5 baits", "5 of 5 built on attempt 1, once", None)


@pytest.mark.proof
def test_a_store_too_slow_is_told_soon_and_leases_hold(far: Stack, proxy: SlowProxy, fault_row: Tell) -> None:
    request = please("sleep", seconds=10)
    far.submit(request)
    eventually(lambda: far.builds(request), seconds=40)
    baits = far.baits
    proxy.delay_s = 0.5
    refusals = []
    for number in range(6):
        asked = time.monotonic()
        with pytest.raises(StoreUnavailable):
            baits.submit("local", please("nothing", late=number))
        refusals.append(time.monotonic() - asked)
    eventually(lambda: state(far, request.id) == "successful", seconds=40)
    proxy.delay_s = 0.0
    seconds = submitted_again(far)
    assert far.ended(please("nothing"), seconds=40).status == "successful"
    view = far.ended(request, seconds=40)
    assert (view.status, view.attempt, len(far.builds(request))) == ("successful", 1, 1)
    seen = f"6 submissions refused, each within {max(refusals) * 1000:.0f} ms; the build that ran ends well, once"
    fault_row("store slow: 1 s", "every answer 1 s late while a build of 10 s runs", seen, seconds)
    assert max(refusals) < 2, "half a second, and what a busy machine adds"


@pytest.mark.proof
def test_a_store_that_stands_still_longer_than_a_lease(far: Stack, proxy: SlowProxy, fault_row: Tell) -> None:
    request = please("sleep", seconds=16)
    far.submit(request)
    eventually(lambda: far.builds(request), seconds=40)
    proxy.hold()
    time.sleep(12)  # the fault itself
    proxy.release()
    seconds = submitted_again(far)
    view = far.ended(request, seconds=50)
    fault_row(
        "store stands still",
        "no answer for 12 s, longer than a lease, while a build of 16 s runs",
        f"the build ends well on attempt {view.attempt}, begun {len(far.builds(request))} time",
        seconds,
    )
    assert (view.status, view.attempt, len(far.builds(request))) == ("successful", 1, 1)
