"""From a bait's end to its receiver: nothing is lost, and what fails is tried again for three days."""

from __future__ import annotations

import itertools
import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from redis.exceptions import OutOfMemoryError
from standardwebhooks.webhooks import Webhook as Reference

from tests.hooks.receiver import Receiver, receiver, status
from tests.stack import ROOT, Stack, eventually, please, stack
from worker.errors import GeometryFailed
from worker.hooks.courier import Courier
from worker.hooks.schedule import DELAYS_S, TRIES, next_delay
from worker.hooks.sending import Outcome, Sender
from worker.hooks.signing import new_secret
from worker.records import outbox_scripts, script_parts, scripts
from worker.records.attempts import Attempts
from worker.records.names import OUTBOX, TALLY, BaitName
from worker.records.webhooks import EVENTS, Webhook, WebhookBook

NUMBERS = itertools.count()
TRACE = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"  # the example of the recommendation


@pytest.fixture(scope="module")
def one_store() -> Iterator[Stack]:
    with stack() as made:
        yield made


@dataclass
class Bench:
    """A store, a receiver, and a courier whose clock a test turns."""

    records: Stack
    here: Receiver
    now: float = 1_790_000_000.0
    secret: str = field(default_factory=new_secret)

    def __post_init__(self) -> None:
        settings = replace(self.records.settings, webhook_origins=(self.here.origin,), webhook_limit_s=2)
        self.connection = self.records.connection
        self.book = WebhookBook(self.connection)
        self.courier = Courier(settings, self.connection, Sender(2), lambda: self.now, lambda: 0.0)

    def put(self, name: str = "till", events: tuple[str, ...] = tuple(EVENTS.values()), path: str = "/") -> Webhook:
        address = self.here.origin + path
        made = Webhook(
            name=name,
            id=f"id-{name}-{next(NUMBERS)}",
            address=address,
            events=events,
            created="",
            secrets=((self.secret, None),),
        )
        assert self.book.swap("local", name, None, made)
        return made

    def end(self, number: int, how: str = "successful") -> str:
        request = please("nothing", n=number)
        self.records.baits.submit("local", request, trace=TRACE)
        attempts, attempt = Attempts(self.connection), BaitName("local", request.id).attempt(1)
        if how == "dismissed":
            self.records.baits.dismiss("local", request.id)
            return request.id
        with self.connection.pipeline(transaction=True) as transaction:
            attempts.hand(attempt, transaction)
            transaction.execute()
        assert attempts.start(attempt)
        ended = attempts.fail(attempt, GeometryFailed("Not closed.")) if how == "failed" else attempts.succeed(attempt)
        assert ended
        return request.id

    def standing(self, name: str = "till") -> Any:
        found = self.book.get("local", name)
        assert found is not None
        return found[1]

    def waiting(self) -> int:
        return int(self.connection.xlen("pourwright:outbox") + self.connection.zcard("pourwright:hooks-due"))


@pytest.fixture
def bench(one_store: Stack) -> Iterator[Bench]:
    with one_store.connection as connection:
        connection.flushall()
    with receiver() as here:
        yield Bench(one_store, here)


def verified(bench: Bench, headers: dict[str, str], body: bytes) -> Any:
    """By the specification's own library; its clock is the machine's, so the time is held against ours alone."""
    reference = Reference(bench.secret)
    timestamp = int(headers["webhook-timestamp"])
    signed = reference.sign(headers["webhook-id"], datetime.fromtimestamp(timestamp, UTC), body.decode())
    assert signed in headers["webhook-signature"].split(" ")
    return json.loads(body)


def test_each_way_to_end_is_told_once_and_signed(bench: Bench) -> None:
    bench.put()
    ids = [bench.end(number, how) for number, how in enumerate(EVENTS)]
    assert bench.courier.round() == 3 and bench.courier.round() == 0
    told = [verified(bench, *call) for call in bench.here.calls]
    assert {one["type"] for one in told} == set(EVENTS.values())
    assert {one["data"]["id"] for one in told} == set(ids)
    failed = next(one for one in told if one["type"] == "bait.failed")
    assert failed["data"]["problem"]["type"] == "urn:pourwright:problem:geometry-failed"
    assert failed["data"]["links"]["self"] == f"/v1/baits/{failed['data']['id']}"
    assert len({headers["webhook-id"] for headers, _ in bench.here.calls}) == 3
    for headers, _ in bench.here.calls:
        assert headers["traceparent"][:36] == TRACE[:36] and headers["traceparent"] != TRACE
        assert headers["content-type"] == "application/json"
    assert bench.waiting() == 0 and bench.standing().last_success is not None


def test_the_reference_library_takes_a_delivery_of_now(bench: Bench) -> None:
    bench.now = time.time()
    bench.put()
    bench.end(1)
    bench.courier.round()
    headers, body = bench.here.calls[0]
    assert Reference(bench.secret).verify(body, headers)["type"] == "bait.finished"
    with pytest.raises(Exception, match="No matching signature"):
        Reference(new_secret()).verify(body, headers)
    with pytest.raises(Exception, match="No matching signature"):
        Reference(bench.secret).verify(body.replace(b"bait.finished", b"bait.failed"), headers)


def test_a_webhook_hears_of_its_events_alone_and_one_without_hears_nothing(bench: Bench) -> None:
    bench.end(1)  # before there is any: nothing is kept for later
    assert bench.waiting() == 0
    bench.put("bad", ("bait.failed",), "/bad")
    bench.put("all", tuple(EVENTS.values()), "/all")
    bench.end(2)
    bench.end(3, "failed")
    assert bench.courier.round() == 3
    types = sorted(json.loads(body)["type"] for _, body in bench.here.calls)
    assert types == ["bait.failed", "bait.failed", "bait.finished"]


def test_the_schedule_is_the_one_that_the_specification_advises(bench: Bench) -> None:
    bench.put()
    bench.here.answer = status(500)
    bench.end(1)
    begun, tried = bench.now, []
    for _ in range(TRIES):
        assert bench.courier.round() == 1
        tried.append(bench.now - begun)
        bench.now += 0.5
        assert bench.courier.round() == 0, "not before its time"
        due = bench.connection.zrange("pourwright:hooks-due", 0, 0, withscores=True)
        if due:
            bench.now = due[0][1] + 0.001
    # Standard Webhooks 1.0.0, "Example retry schedule": the third column, in hours, minutes and seconds
    column = [
        "0:00:00",
        "0:00:05",
        "0:05:05",
        "0:35:05",
        "2:35:05",
        "7:35:05",
        "17:35:05",
        "31:35:05",
        "51:35:05",
        "75:35:05",
    ]
    expected = [
        sum(int(part) * unit for part, unit in zip(one.split(":"), (3600, 60, 1), strict=True)) for one in column
    ]
    assert tried == pytest.approx(expected, abs=0.1)
    ids = {headers["webhook-id"] for headers, _ in bench.here.calls}
    stamps = {headers["webhook-timestamp"] for headers, _ in bench.here.calls}
    bodies = {body for _, body in bench.here.calls}
    assert (len(ids), len(stamps), len(bodies)) == (1, TRIES, 1)
    # and then it is disabled, with all that waits for it, and hears no more
    assert bench.standing().disabled_since is not None and bench.standing().last_reason == "Answered 500."
    bench.end(2)
    assert bench.courier.round() == 0 and bench.waiting() == 0
    # until it is put again
    present = bench.book.get("local", "till")
    assert present is not None and bench.book.swap("local", "till", present[0], present[0])
    bench.here.answer = status(200)
    bench.end(3)
    assert bench.courier.round() == 1 and bench.standing().disabled_since is None


def test_one_message_that_is_refused_disables_nothing_while_others_arrive(bench: Bench) -> None:
    bench.put()
    refused = bench.end(1)
    bench.here.answer = status(500)
    bench.courier.round()
    bench.now += 1
    bench.here.answer = status(200)
    bench.end(2)
    bench.courier.round()
    bench.here.answer = status(500)
    for delay in DELAYS_S:
        bench.now += delay + 1
        assert bench.courier.round() == 1
    assert bench.standing().disabled_since is None and bench.waiting() == 0
    assert sum(refused in body.decode() for _, body in bench.here.calls) == TRIES


def test_gone_disables_at_once_and_retry_after_is_heeded(bench: Bench) -> None:
    bench.put()
    bench.here.answer = status(429, Retry_After="120")
    bench.end(1)
    bench.courier.round()
    bench.now += 100
    assert bench.courier.round() == 0
    bench.now += 21
    bench.here.answer = status(410)
    assert bench.courier.round() == 1
    assert bench.standing().disabled_since is not None and bench.waiting() == 0


def test_jitter_is_a_tenth_at_most_and_an_asked_delay_a_day() -> None:
    assert next_delay(1, 0.0) == 5 and next_delay(1, 1.0) == pytest.approx(5.5)
    assert next_delay(TRIES, 0.5) is None
    assert next_delay(1, 0.0, 1e9) == 86400 and next_delay(9, 0.0, 1.0) == 86400


def test_a_courier_that_dies_loses_nothing(bench: Bench) -> None:
    bench.put()
    bench.end(1)
    bench.courier._outbox.fan_out(bench.now)
    assert bench.courier._claim() is not None  # and here it dies
    assert bench.courier.round() == 0, "nobody else sends while the lease holds"
    bench.now += 63
    assert bench.courier.round() == 1 and bench.waiting() == 0


def test_two_couriers_make_no_message_twice(bench: Bench) -> None:
    bench.put()
    for number in range(20):
        bench.end(number)
    other = Courier(bench.courier._settings, bench.records.connection, Sender(2), lambda: bench.now, lambda: 0.0)
    with ThreadPoolExecutor(2) as threads:
        tried = sum(threads.map(lambda one: one.round(), (bench.courier, other)))
    tried += bench.courier.round()
    assert tried == 20 and len({headers["webhook-id"] for headers, _ in bench.here.calls}) == 20


def test_a_webhook_that_is_forgotten_takes_what_waits_with_it(bench: Bench) -> None:
    made = bench.put()
    bench.here.answer = status(500)
    bench.end(1)
    bench.courier.round()
    assert bench.book.swap("local", "till", made, None)
    bench.now += 1e6
    assert bench.courier.round() == 0 and bench.waiting() == 0


def test_what_is_on_its_way_to_one_that_is_forgotten_changes_nothing_about_the_next_of_its_name(bench: Bench) -> None:
    # Given a delivery on its way when its webhook is forgotten, another is put by its name, and a bait ends
    made = bench.put()
    anew: list[Webhook] = []

    def meanwhile(_: Any) -> Any:
        if not anew:
            assert bench.book.swap("local", "till", made, None)
            anew.append(bench.put())
            bench.end(2)
            bench.courier._outbox.fan_out(bench.now)
        return status(410)(_)

    bench.end(1)
    bench.here.answer = meanwhile
    assert bench.courier.round() == 2  # the second of them to the new one, which says itself that it is gone
    assert bench.standing().of == anew[0].id and bench.standing().last_reason == "Answered 410."
    assert len(bench.here.calls) == 2


@pytest.mark.parametrize("answer", [410, 500, 200])
def test_what_became_of_a_delivery_to_a_forgotten_webhook_is_not_told_of_the_next(bench: Bench, answer: int) -> None:
    made = bench.put()
    bench.end(1)
    bench.courier._outbox.fan_out(bench.now)
    claim = bench.courier._claim()
    assert claim is not None
    found = bench.book.get("local", "till")
    assert found is not None
    assert bench.book.swap("local", "till", made, None)
    bench.put()
    bench.end(2)
    bench.courier._outbox.fan_out(bench.now)
    bench.courier._note(claim, found[1], Outcome(answer == 200, f"Answered {answer}.", gone=answer == 410), bench.now)
    standing = bench.standing()
    assert (standing.last_success, standing.last_failure, standing.disabled_since) == (None, None, None)
    assert bench.courier.round() == 1 and bench.waiting() == 0, "its own message is still told, and no other"
    assert bench.connection.keys("pourwright:messages:*") == []


def test_one_that_is_put_while_a_last_try_is_on_its_way_is_not_disabled_by_it(bench: Bench) -> None:
    made = bench.put()

    def put_meanwhile(_: Any) -> Any:
        assert bench.book.swap("local", "till", made, made)
        return status(410)(_)

    bench.here.answer = put_meanwhile
    bench.end(1)
    bench.courier.round()
    assert bench.standing().disabled_since is None and bench.waiting() == 0


def test_an_ending_between_a_look_at_the_webhooks_and_their_removal_waits_for_nobody(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = bench.put()
    bench.end(1)
    really = WebhookBook.all

    def forgotten_meanwhile(self: WebhookBook, caller: str) -> Any:
        found = really(self, caller)
        assert bench.book.swap("local", "till", made, None)
        return found

    monkeypatch.setattr(WebhookBook, "all", forgotten_meanwhile)
    bench.courier._outbox.fan_out(bench.now)
    assert bench.waiting() == 0 and bench.connection.keys("pourwright:messages:*") == []


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


def test_a_secret_that_is_changed_again_and_again_signs_twice_at_most(bench: Bench) -> None:
    webhook = bench.put()
    for _ in range(9):
        before, webhook = webhook, webhook.with_secret(new_secret(), bench.now)
    assert webhook.signing(bench.now) == [webhook.secrets[0][0], before.secrets[0][0]]
    assert webhook.signing(bench.now + 86_401) == [webhook.secrets[0][0]]


def test_a_changed_secret_signs_beside_the_old_one_for_a_day(bench: Bench) -> None:
    made = bench.put()
    newer = made.with_secret(new_secret(), bench.now)
    assert bench.book.swap("local", "till", made, newer)
    bench.end(1)
    bench.courier.round()
    assert len(bench.here.calls[0][0]["webhook-signature"].split(" ")) == 2
    verified(bench, *bench.here.calls[0])
    bench.now += 86_401
    bench.end(2)
    bench.courier.round()
    signatures = bench.here.calls[1][0]["webhook-signature"].split(" ")
    assert len(signatures) == 1
    assert made.secrets[0][0] not in repr(newer), "a secret is not in what a traceback may show"


def test_a_courier_delivers_without_a_state_folder_and_makes_none(bench: Bench, tmp_path: Path) -> None:
    bench.put()
    bench.end(1)
    nowhere = tmp_path / "state"
    more = {"POURWRIGHT_STATE_DIR": str(nowhere), "POURWRIGHT_WEBHOOK_ORIGINS": bench.here.origin}
    command = [sys.executable, "-m", "worker.hooks"]
    with subprocess.Popen(command, cwd=ROOT, env=os.environ | bench.records.environ | more) as courier:
        try:
            eventually(lambda: bench.here.calls, seconds=40)
            eventually(lambda: bench.waiting() == 0)
        finally:
            courier.terminate()
        assert courier.wait(20) == 0
    assert not nowhere.exists()
