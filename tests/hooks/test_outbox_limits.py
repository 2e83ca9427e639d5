"""No more waits for receivers than so much, and a full store can still be put in order."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace

import pytest
from redis.exceptions import OutOfMemoryError

from tests.hooks.courier_bench import Bench
from tests.stack import please
from worker.records import outbox_scripts, script_parts, scripts
from worker.records.names import OUTBOX, TALLY


@pytest.fixture
def full(bench: Bench) -> Iterator[Bench]:
    """A store whose memory is full."""
    bench.put("till")
    bench.connection.config_set("maxmemory", "1mb")
    yield bench
    bench.connection.config_set("maxmemory", "0")


def test_a_webhook_is_changed_and_forgotten_where_the_store_is_full(full: Bench) -> None:
    with pytest.raises(OutOfMemoryError):
        full.connection.set("more", "of it")
    found = full.book.get("local", "till")
    assert found is not None
    changed = replace(found[0], address=full.here.origin + "/other")
    assert full.book.swap("local", "till", found[0], changed)
    assert full.book.swap("local", "till", changed, None)
    assert full.book.all("local") == []


def test_no_more_than_so_many_messages_wait_for_one_webhook(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    few = outbox_scripts.FAN_OUT.replace(str(outbox_scripts.MOST_WAITING), "3")
    assert few != outbox_scripts.FAN_OUT
    monkeypatch.setattr(bench.courier._outbox, "_fan_out", bench.connection.register_script(few))
    bench.put("deaf", path="/deaf")
    bench.put("failures", ("bait.failed",))
    ids = [bench.end(number) for number in range(5)]
    bench.end(5, "failed")
    bench.courier._outbox.fan_out(bench.now)
    (deaf,) = bench.connection.keys("pourwright:deliveries:local:id-deaf-*")
    assert bench.connection.zcard(deaf) == 3
    assert bench.connection.hget(TALLY, "delivery:dropped") == b"3" and "too much waits" in caplog.text
    # Another webhook's come all the same, and of the first's the earliest
    assert bench.courier.round() == 4
    told = {json.loads(body)["data"]["id"] for _, body in bench.here.calls}
    assert set(ids[:3]) < told


def test_without_a_courier_so_many_endings_are_kept_and_no_more(bench: Bench) -> None:
    few = scripts.DISMISS.replace(str(script_parts.MOST_UNTOLD), "3")
    assert few != scripts.DISMISS
    script = bench.connection.register_script(few)
    bench.put()
    requests = [please("nothing", n=number) for number in range(5)]
    for request in requests:
        bench.records.baits.submit("local", request)
        script(args=["local", request.id, "2026-03-01T08:00:00Z"])
    assert bench.connection.xlen(OUTBOX) == 3
    assert bench.connection.hget(TALLY, "delivery:dropped") == b"2"
